"""Faults in conditions, found before the run: unknown names, wrong types, what can never or always hold."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, get_args

from drillyard.core.care.ways import Phase, WardPhase
from drillyard.core.formulary.model import AmountUnit
from drillyard.core.quantities.faults import Fault, Place, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.conditions import MAPS, PLAIN, Condition, Conditions, compiled
from drillyard.core.scenario.facts import Facts, free_heads, known_words
from drillyard.core.signals.findings import FINDINGS, finding_for

PHASES: Final = {"street": get_args(Phase), "ward": get_args(WardPhase)}

_SHORT: Final = {
    "sbp": "systolic_pressure_mmhg", "dbp": "diastolic_pressure_mmhg", "map": "mean_arterial_pressure_mmhg",
    "bp": "systolic_pressure_mmhg", "hr": "heart_rate_per_min", "rr": "respiratory_rate_per_min",
    "gcs": "gcs_total", "sats": "spo2_pct", "spo2": "spo2_pct", "etco2": "etco2_mmhg", "pulse": "has_pulse",
}  # fmt: skip
"""Short forms people type, offered as near matches only."""

_COMPARED: Final = re.compile(r"\b([a-z][a-z0-9_]*)\s*(<=|>=|==|<|>)\s*(-?\d+(?:\.\d+)?)\b")
_TURNED: Final = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?)\s*(<=|>=|==|<|>)\s*([a-z][a-z0-9_]*)\b")
_PHASE: Final = re.compile(r"""\bphase\s*(?:==|!=)\s*(?:"([^"]*)"|'([^']*)')""")
_MIRROR: Final = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "==": "=="}


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Names that exist outside the scenario: drugs of the formulary, how each is counted, and ids of measures.

    ``None`` for any of them means that it is not known here and is not checked.
    """

    drugs: tuple[str, ...] | None = None
    measures: tuple[int, ...] | None = None
    amount_units: Mapping[str, AmountUnit] | None = None


def condition_faults(source: str, field: str, setting: str, known: Known) -> tuple[Condition | None, list[Fault]]:
    """Compile one condition and list what is wrong with it; ``None`` where it cannot be compiled."""
    try:
        condition = compiled(source)
    except Refusal as refusal:
        return None, [_placed(fault, field) for fault in refusal.faults]
    faults = [*_name_faults(condition, field), *_key_faults(condition, field, known)]
    faults += _phase_faults(source, field, setting)
    if not faults:
        faults += _trial_faults(condition, field)
    return condition, faults + list(_range_faults(source, field))


def is_constant(condition: Condition, value: bool) -> bool:
    """Whether the condition reads nothing and always gives ``value``."""
    if condition.names:
        return False
    return Conditions((condition,)).evaluate(0.0, {}, Facts())[0] is value


def _placed(fault: Fault, field: str) -> Fault:
    return Fault(
        code=fault.code, said=fault.said, place=Place(field=field), value=fault.value, allowed=fault.allowed,
        remedy=fault.remedy, near=fault.near, is_warning=fault.is_warning,
    )  # fmt: skip


def _name_faults(condition: Condition, field: str) -> Iterator[Fault]:
    for name in condition.names:
        if name in SIGNALS or name in MAPS or name in PLAIN:
            continue
        short = _SHORT.get(name.casefold())
        near = (short,) if short else near_matches(name, (*SIGNALS, *MAPS, *PLAIN))
        yield Fault(
            code="unknown signal", said=f"unknown signal '{name}' in a condition", place=Place(field=field), value=name,
            near=near, remedy="" if near else "see the list of signals in the documentation",
        )  # fmt: skip


def _key_faults(condition: Condition, field: str, known: Known) -> Iterator[Fault]:
    for map_name, key in condition.keys:
        if map_name in ("obtained", "since_obtained_s"):
            if key not in FINDINGS:
                yield unknown_finding(key, field)
        elif map_name == "dose_mg":
            if known.drugs is not None and key not in known.drugs:
                yield unknown_drug(key, field, known.drugs)
        elif not procedure_known(key, known):
            yield unknown_procedure(key, field, known)


def procedure_known(words: str, known: Known) -> bool:
    """Whether ``words`` name an action of the log (a site in free words may follow where sites are free)."""
    if known.drugs is None and words.startswith("give drug "):
        return True
    return words in known_words(known.drugs or (), tuple(FINDINGS)) or words.startswith(free_heads())


def unknown_procedure(words: str, field: str, known: Known) -> Fault:
    """The fault for words that name no action, with near matches."""
    near = near_matches(words, known_words(known.drugs or (), tuple(FINDINGS)))
    said = f"no action of the log is called '{words}'"
    return Fault(code="unknown action", said=said, place=Place(field=field), value=words, near=near)


def unknown_finding(name: str, field: str) -> Fault:
    typed = {words: row.id for row in FINDINGS.values() for words in (row.id, *row.typed)}
    meant = finding_for(name)
    near = (meant.id,) if meant else tuple(dict.fromkeys(typed[words] for words in near_matches(name, typed)))
    return Fault(
        code="unknown finding", said=f"unknown finding '{name}'", place=Place(field=field), value=name, near=near,
        remedy="" if near else "the finding catalogue lists what there is",
    )  # fmt: skip


def unknown_drug(name: str, field: str, drugs: tuple[str, ...]) -> Fault:
    return Fault(
        code="unknown drug", said=f"unknown drug '{name}'", place=Place(field=field), value=name,
        near=near_matches(name, drugs), remedy="the formulary of this lab has: " + ", ".join(drugs),
    )  # fmt: skip


def _phase_faults(source: str, field: str, setting: str) -> Iterator[Fault]:
    for match in _PHASE.finditer(source):
        phase = match[1] if match[1] is not None else match[2]
        if phase not in PHASES[setting]:
            yield Fault(
                code="unknown phase", said=f"a {setting} case has no phase '{phase}'", place=Place(field=field),
                value=phase, near=near_matches(phase, PHASES[setting]), allowed=", ".join(PHASES[setting]),
            )  # fmt: skip


def _trial_faults(condition: Condition, field: str) -> Iterator[Fault]:
    """Evaluate at the low end, middle and high end of every signal, with nothing and with everything done."""
    everything = Facts(phase="at patient")
    for _, key in condition.keys:
        everything.first_s[key] = everything.last_s[key] = everything.obtained_s[key] = 0.0
        everything.count[key], everything.dose_mg[key] = 1, 1.0
    trials = [
        ({name: signal.low for name, signal in SIGNALS.items()}, Facts()),
        ({name: (signal.low + signal.high) / 2 for name, signal in SIGNALS.items()}, everything),
        ({name: signal.high for name, signal in SIGNALS.items()}, Facts()),
        ({name: signal.low for name, signal in SIGNALS.items()}, everything),
    ]
    for signals, facts in trials:
        value, error = Conditions((condition,)).value_of_first(100.0, signals, facts)
        if error:
            said = f"the condition '{condition.source}' cannot be evaluated ({error.split('. ')[0]})"
            remedy = "write numbers in a sum with a decimal point, for instance 60.0" if "int" in error else ""
            yield Fault(code="condition", said=said, place=Place(field=field), value=condition.source, remedy=remedy)
            return
        if not isinstance(value, bool):
            said = f"the condition '{condition.source}' gives a value, not true or false"
            remedy = "compare it with something, for instance '< 90'"
            yield Fault(code="condition", said=said, place=Place(field=field), value=condition.source, remedy=remedy)
            return


def _range_faults(source: str, field: str) -> Iterator[Fault]:
    compared = [(m[1], m[2], float(m[3])) for m in _COMPARED.finditer(source)]
    compared += [(m[3], _MIRROR[m[2]], float(m[1])) for m in _TURNED.finditer(source)]
    for name, sign, value in compared:
        signal = SIGNALS.get(name)
        if signal is None:
            continue
        low, high = signal.low, signal.high
        unit = "" if signal.unit == "1" else f" {signal.unit}"
        never = {"<": value <= low, "<=": value < low, ">": value >= high, ">=": value > high}
        always = {"<": value > high, "<=": value >= high, ">": value < low, ">=": value <= low}
        text = f"'{name} {sign} {value:g}'"
        allowed = f"{name} lies between {low:g} and {high:g}{unit}"
        if never.get(sign, not low <= value <= high):
            yield Fault(code="never true", said=f"{text} can never hold", place=Place(field=field), allowed=allowed)
        elif always.get(sign, False):
            yield Fault(
                code="always true", said=f"{text} always holds", place=Place(field=field), allowed=allowed,
                is_warning=True,
            )  # fmt: skip
