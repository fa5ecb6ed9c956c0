"""What a run stands on: the sources of the drugs, the body, the problems and the measures that its log shows."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields, is_dataclass
from typing import Any, Final, Literal, get_args

from drillyard.core.body.assembly import ORGANS
from drillyard.core.care.problems import Problem
from drillyard.core.formulary import Formulary
from drillyard.core.measures.catalogue import GENERAL, MEASURES
from drillyard.core.numerics.names import Param
from drillyard.core.quantities.sources import names_a_paper
from drillyard.core.session.events import Event

Part = Literal["drug", "problem", "body", "measure"]
PARTS: Final[tuple[Part, ...]] = ("drug", "problem", "body", "measure")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cited:
    """One source and what it is used for.  ``key``: its key in ``data/citations.yaml``, empty where it has none."""

    source: str
    key: str
    used_for: tuple[str, ...]
    part: Part

    @property
    def is_published(self) -> bool:
        """Whether it is a publication, rather than what was tuned, chosen or common knowledge."""
        return bool(self.key) or names_a_paper(self.source)

    def as_dict(self) -> dict[str, object]:
        """Plain data for JSON."""
        return asdict(self) | {"is_published": self.is_published}


def cited(
    events: Sequence[Event],
    formulary: Formulary,
    citations: Mapping[str, str],
    *,
    measures: Iterable[int] = (),
    problems: Iterable[Problem] = (),
) -> list[Cited]:
    """The sources that a run stands on, by part, each once, in the order of their text.

    Args:
        events: the log.  Drugs given or taken and problems are read from it.
        formulary: the drugs of the run.
        citations: citation key -> full source.
        measures: numbers of the measures that were shown; the general ones come in any case.
        problems: those that the case began with, which stand in its scenario and not in the log.
    """
    found: dict[tuple[Part, str], list[str]] = {}

    def note(part: Part, source: str, what: str) -> None:
        if source.strip():
            uses = found.setdefault((part, source.strip()), [])
            if what not in uses:
                uses.append(what)

    records = [*_records(events), *(record for problem in problems for record in _inside(problem))]
    for name in _drugs_of(records, formulary):
        for source in _sources_of(formulary.get(name)):
            note("drug", source, name)
    for organ in ORGANS:
        for value in organ.NAMES:
            if isinstance(value, Param):
                note("body", value.source, f"{value.meaning} ({_organ(organ.__name__)})")
    for kind in _problems_of(records):
        note("problem", _PROBLEM_PAGES, kind)
    for number in sorted({*GENERAL, *measures} & set(MEASURES)):
        definition = MEASURES[number][0]
        note("measure", definition.source, f"{definition.title} (measure {number})")
    listed = [
        Cited(
            source=citations.get(source, source),
            key=source if source in citations else "",
            used_for=tuple(uses),
            part=part,
        )
        for (part, source), uses in found.items()
    ]
    return sorted(listed, key=lambda one: (PARTS.index(one.part), not one.is_published, one.source.lower()))


_PROBLEMS: Final = get_args(get_args(Problem)[0])
_PROBLEM_PAGES: Final = (
    "Problems act through the numbers of the body that are listed here; their size is the case author's choice"
)


def _drugs_of(records: Iterable[Any], formulary: Formulary) -> list[str]:
    """Names of the drugs and fluids that records name anywhere, by any of their words.

    A word that the formulary does not know is left out: it has no sources.
    """
    words = {getattr(record, name, None) for record in records for name in ("drug", "fluid")}
    return sorted({formulary.get(word).name for word in words if isinstance(word, str) and word in formulary})


def _problems_of(records: Iterable[Any]) -> list[str]:
    return sorted({str(record.kind) for record in records if isinstance(record, _PROBLEMS)})


def _records(events: Iterable[Event]) -> Iterator[Any]:
    for event in events:
        yield from _inside(event.body)


def _inside(record: Any) -> Iterator[Any]:
    """A record and every record in it."""
    yield record
    for field in fields(record):
        value = getattr(record, field.name)
        for part in value if isinstance(value, tuple) else (value,):
            if is_dataclass(part) and not isinstance(part, type):
                yield from _inside(part)


def _sources_of(record: Any) -> Iterator[str]:
    """Every ``source`` of a drug, wherever in it it stands."""
    for one in _inside(record):
        source = getattr(one, "source", None)
        if isinstance(source, str):
            yield source


def _organ(module: str) -> str:
    words = module.removeprefix("drillyard.core.body.").split(".")
    return words[0].replace("_", " ")
