"""What the grammar's functions share: the entry they make, and places, sides, shares and times."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from drillyard.core.care.actions import Action, Side
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import NOT_UNDERSTOOD_REMEDY, PARTS_OF_BODY, SIDES, TIME_UNITS, SideRule
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An action read from a line, with what must be said beside it.

    ``unusual`` asks for a second confirmation; ``confirmed`` is the same action marked as confirmed; ``reckoned`` says
    what its number was reckoned from, where it was not typed as such.
    """

    action: Action
    warning: str = ""
    unusual: bool = False
    confirmed: Action | None = None
    not_modelled: bool = False
    reckoned: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One first word (or phrase) of the entry line.

    ``words[0]`` is the one offered; ``examples`` are whole lines for the page of the entry line.
    """

    words: tuple[str, ...]
    about: str
    examples: tuple[str, ...]
    read: Callable[[Reader, EntryContext, str], Entry]


def take_side(reader: Reader) -> Side | None:
    return reader.take(SIDES)


def take_site(
    reader: Reader,
    question: str,
    context_sites: Iterable[str] = (),
    parts: frozenset[str] | None = None,
    what: str = "place",
) -> str:
    """A place on the body with its side, in either order ("l thigh", "thigh left", "groin").

    Args:
        reader: the line.
        question: asked where nothing is there yet.
        context_sites: places of the case, offered first; they also make a side necessary where it tells two apart.
        parts: the parts of the body allowed here; all if ``None``.
        what: what the place is called in a refusal.
    """
    known = {word: meaning for word, meaning in PARTS_OF_BODY.items() if parts is None or meaning[0] in parts}
    names = tuple(dict.fromkeys(meaning[0] for meaning in known.values()))
    case_sites = tuple(context_sites)
    sided = tuple(f"{side} {name}" for name in names for side in ("left", "right") if _rule(known, name) != "none")
    offers = tuple(dict.fromkeys((*case_sites, *(sided or names), *(n for n in names if _rule(known, n) == "none"))))
    start = reader.here
    side = take_side(reader)
    if side and reader.at_end:
        raise Ask(question, (site for site in offers if site.startswith(f"{side} ")), start)
    if side and not reader.peek(known):
        begun = reader.left_over().lower()
        fitting = tuple(f"{side} {name}" for name in names if name.startswith(begun))
        if fitting:
            raise Ask(question, fitting, start)
    if not side and not reader.at_end and not reader.peek(known):
        begun = reader.left_over().lower()
        fitting = tuple(site for site in offers if site.startswith(begun))
        if fitting:
            raise Ask(question, fitting, start)
        _refuse_place(reader, names, what)
    part, rule = reader.need(known, what, question, options=offers)
    if not side:
        side = take_side(reader)
    if side is None and (rule == "needed" or any(site.endswith(f" {part}") for site in case_sites)):
        raise Ask(f"Left or right {part}?", (f"left {part}", f"right {part}"), start)
    if side and rule == "none":
        raise Refusal(Fault(code="no side", said=f"'{part}' has no left or right", remedy="leave the side out"))
    return f"{side} {part}" if side else part


def _rule(known: dict[str, tuple[str, SideRule]], name: str) -> SideRule:
    return next(meaning[1] for meaning in known.values() if meaning[0] == name)


def _refuse_place(reader: Reader, names: tuple[str, ...], what: str) -> None:
    raise Refusal(
        Fault(
            code=f"unknown {what}",
            said=f"'{reader.left_over()}' is no {what} that is known here",
            value=reader.left_over(),
            near=near_matches(reader.word(), names),
            allowed=", ".join(names),
        )
    )


def take_share(reader: Reader) -> float | None:
    """A share: "50%", "half", "partly"; ``None`` where none is written."""
    if reader.take_word("half", "partly"):
        return 0.5
    if reader.take_word("fully", "full"):
        return 1.0
    start = reader.index
    number = reader.take_number()
    if number is not None and reader.take_word("%", "percent"):
        check_range(number, 0.0, 100.0, "a share of", "%")
        return number / 100.0
    reader.index = start
    return None


def need_share(reader: Reader, question: str) -> float:
    """A share that must be there."""
    share = take_share(reader)
    if share is None:
        raise Ask(question, ("10%", "30%", "70%"))
    return share


def take_time_s(reader: Reader, what: str) -> float:
    """A length of time with its unit, in seconds."""
    number = reader.need_number(f"{what} how long? For instance 10 min.", ("10 min", "2 min", "30 s"))
    if reader.at_end:
        raise Ask(f"{plain(number)} minutes or seconds?", ("min", "s"))
    factor = reader.need(TIME_UNITS, "unit of time", f"{plain(number)} minutes or seconds?", options=("min", "s"))
    check_range(number * factor, 0.0, 86400.0, "a time of", "s")
    return number * factor


def finish(reader: Reader, entry: Entry) -> Entry:
    """Refuses words that nothing has read."""
    if reader.at_end:
        return entry
    read = reader.line[: reader.here].strip()
    raise Refusal(
        Fault(
            code="word not understood",
            said=f"'{reader.left_over()}' is not understood after '{read}'",
            value=reader.left_over(),
            remedy=NOT_UNDERSTOOD_REMEDY,
        )
    )
