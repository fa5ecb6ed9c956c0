"""Numbers of a scenario that contradict each other or lie outside what the body can be."""

from collections.abc import Iterator
from dataclasses import fields, replace
from itertools import product
from typing import Final

from drillyard.core.body.patient import limits
from drillyard.core.body.pregnancy import faults_of as pregnancy_faults
from drillyard.core.care import fluid_problems as f
from drillyard.core.care import problems as p
from drillyard.core.quantities.faults import Fault, Place
from drillyard.core.quantities.near import near_matches
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.quantities.units import unit_of_name
from drillyard.core.scenario.check_conditions import Known, unknown_drug
from drillyard.core.scenario.model import Check, PatientRecord, Scenario, SetProblem, ValueCheck

UNITS: Final = {"age_years": "years", "mass_kg": "kg", "height_cm": "cm"}
EARLIEST_START_S: Final = -6 * 3600.0
"""A problem may begin at most six hours before time zero: the pre-roll computes every second of it."""
MOST_WOUNDS: Final = 3
"""The body keeps three wounds apart."""

ORDERED: Final = (
    ("diastolic_pressure_mmhg", "mean_arterial_pressure_mmhg"),
    ("mean_arterial_pressure_mmhg", "systolic_pressure_mmhg"),
    ("diastolic_pressure_mmhg", "systolic_pressure_mmhg"),
    ("gcs_eye", "gcs_total"),
    ("gcs_verbal", "gcs_total"),
    ("gcs_motor", "gcs_total"),
    ("svo2_pct", "sao2_pct"),
)
"""Pairs of which the first is never above the second."""


def _error(code: str, said: str, field: str, allowed: str = "", remedy: str = "") -> Fault:
    return Fault(code=code, said=said, place=Place(field=field), allowed=allowed, remedy=remedy)


def patient_faults(patient: PatientRecord) -> Iterator[Fault]:
    """Size and age outside what the body can be made for."""
    for name, (low, high) in limits(patient.age_years).items():
        value = getattr(patient, name)
        if not low <= value <= high:
            field = "patient." + name.rsplit("_", 1)[0]
            at_age = "" if name == "age_years" else f" at {patient.age_years:g} years"
            yield _error("out of range", f"{name} = {value:g}", field, f"{low:g} to {high:g} {UNITS[name]}{at_age}")
    for fault in pregnancy_faults(patient.age_years, patient.sex, patient.pregnant_weeks):
        yield replace(fault, place=Place(field="patient.pregnant"))
    body_mass_index = patient.mass_kg / (patient.height_cm / 100.0) ** 2 if patient.height_cm > 0 else 0.0
    if not 10.0 <= body_mass_index <= 80.0:
        said = f"mass and height do not fit together ({patient.mass_kg:g} kg, {patient.height_cm:g} cm)"
        yield _error("out of range", said, "patient.mass", "a body mass index of 10 to 80 kg/m2")


def problem_faults(scenario: Scenario, known: Known) -> Iterator[Fault]:
    """Sizes and times of problems, those set by rules included."""
    if not scenario.problems:
        yield _error("no problem", "nothing is wrong with the patient", "problems", remedy="list at least one problem")
    cap_s = scenario.time_cap_s
    listed = [(f"problems[{i}]", item, EARLIEST_START_S) for i, item in enumerate(scenario.problems)]
    for i, rule in enumerate(scenario.rules):
        for j, effect in enumerate(rule.then):
            if isinstance(effect, SetProblem):
                listed.append((f"rules[{i}].then[{j}].problem", effect.problem, 0.0))
    for field, problem, earliest_s in listed:
        if not earliest_s <= problem.start_s <= cap_s:
            allowed = f"{earliest_s:g} s to the time cap ({cap_s:g} s)"
            yield _error("out of range", f"'{problem.name}' starts at {problem.start_s:g} s", f"{field}.start", allowed)
        if isinstance(problem, p.DrugTaken) and known.drugs is not None and problem.drug not in known.drugs:
            yield unknown_drug(problem.drug, f"{field}.drug", known.drugs)
        yield from _size_faults(problem, field)
    wounds = {problem.name for _, problem, _ in listed if isinstance(problem, p.Bleeding | p.Haemothorax)}
    if len(wounds) > MOST_WOUNDS:
        said = f"{len(wounds)} wounds; the body keeps {MOST_WOUNDS} apart"
        yield _error("too many wounds", said, "problems", remedy="join wounds of one region into one")


def _size_faults(problem: p.Problem, field: str) -> Iterator[Fault]:
    if problem.over_s < 0.0:
        yield _error(
            "out of range", f"'{problem.name}' grows over {problem.over_s:g} s", f"{field}.over", "0 s or more"
        )
    for name, value, low, high, unit in _sizes(problem):
        if not low <= value <= high:
            said = f"'{problem.name}': {name.replace('_', ' ')} {value:g}{unit}"
            yield _error("out of range", said, f"{field}.{name}", f"{low:g} to {high:g}{unit}")


def size_limits(problem: p.Problem, field: str) -> tuple[float, float] | None:
    """Lowest and highest value of a size of a problem by the name of its field, None where it has no limits."""
    named = unit_of_name(field)
    stem = named[0] if named else field
    return next(((low, high) for name, _, low, high, _ in _sizes(problem) if name in (stem, field)), None)


def _sizes(problem: p.Problem) -> Iterator[tuple[str, float, float, float, str]]:
    """Name in the file, value, lowest, highest and unit of each size.  Limits are ours: wider than any survivable."""
    if isinstance(problem, p.Bleeding):
        yield "rate", problem.rate_ml_per_min, 0.0, 3000.0, " mL/min"
    elif isinstance(problem, p.Pneumothorax):
        yield "leak", problem.leak_ml_per_s_per_cmh2o, 0.0, 1000.0, " mL/s/cmH2O"
        yield "wound", problem.wound_ml_per_s_per_cmh2o, 0.0, 1000.0, " mL/s/cmH2O"
        yield "needle_clots_after", problem.needle_clots_after_s, 0.0, 7200.0, " s"
    elif isinstance(problem, p.AirwayBlockage):
        yield "blocked", problem.blocked_frac, 0.0, 1.0, ""
    elif isinstance(problem, p.DrugTaken):
        yield "dose", problem.dose, 1e-9, 1e6, f" {problem.dose_unit}"
    elif isinstance(problem, p.Shunt):
        yield "shunt", problem.shunt_frac, 0.0, 0.9, ""
    elif isinstance(problem, p.Tamponade):
        yield "volume", problem.volume_ml, 0.0, 1500.0, " mL"
    elif isinstance(problem, p.Haemothorax):
        yield "rate", problem.rate_ml_per_min, 0.0, 3000.0, " mL/min"
    elif isinstance(problem, p.PulmonaryOedema):
        yield "filling_rise", problem.filling_rise_frac, 0.0, 5.0, ""
        yield "leak", problem.leak_frac, 0.0, 1.0, ""
    elif isinstance(problem, f.UterineBleeding):
        yield "rate", problem.rate_ml_per_min, 0.0, 3000.0, " mL/min"
        yield "slack", problem.slack_frac, 0.0, 1.0, ""
    elif isinstance(problem, p.CarbonMonoxide):
        yield "cohb", problem.cohb_frac, 0.0, 0.8, ""
        yield "room", problem.room_frac, 0.0, 0.02, ""
    elif isinstance(problem, p.CoronaryOcclusion):
        yield "occluded", problem.occluded_frac, 0.0, 1.0, ""
        yield "clot", problem.clot_frac, 0.0, 1.0, ""
    elif isinstance(problem, p.PulmonaryEmbolism):
        yield "obstructed", problem.obstructed_frac, 0.0, 0.95, ""
    elif isinstance(problem, p.PumpFailure | p.VesselDilation):
        yield "lost", problem.lost_frac, 0.0, 1.0, ""
    elif type(problem) in _SHARES:
        yield from _shares(problem)
    else:
        yield from _metabolic_sizes(problem)


_SHARES: Final[dict[type, tuple[str, ...]]] = {
    p.Bronchospasm: ("severity_frac", "swelling_share_frac"),
    p.AirwaySwelling: ("swelling_frac",),
    p.Secretions: ("amount_frac",),
    p.Pneumonia: ("solid_frac",),
    p.Aspiration: ("amount_frac",),
    p.FlailChest: ("force_lost_frac",),
    p.Methaemoglobin: ("methb_frac",),
    f.AllergicReaction: ("severity_frac",),
    f.Burn: ("surface_frac", "full_thickness_frac"),
}
"""Sizes that are a share, 0 to 1."""


def _shares(problem: p.Problem) -> Iterator[tuple[str, float, float, float, str]]:
    for name in _SHARES.get(type(problem), ()):
        yield name.removesuffix("_frac"), getattr(problem, name), 0.0, 1.0, ""


_METABOLIC_LIMITS: Final[dict[str, tuple[float, float, str]]] = {
    "action_frac": (0.0, 0.95, ""), "glycogen_emptied_frac": (0.0, 1.0, ""), "lack_frac": (0.0, 1.0, ""),
    "glucose_rise_mg_per_dl": (0.0, 1200.0, " mg/dL"), "ketones_mmol_per_l": (0.0, 25.0, " mmol/L"),
    "rise_degc": (0.0, 5.0, " degC"), "ambient_degc": (-40.0, 60.0, " degC"), "added_loss_frac": (-0.9, 30.0, ""),
    "core_change_degc": (-20.0, 6.0, " degC"), "rise_mmol_per_l": (-3.0, 6.0, " mmol/L"),
    "release_mmol_per_min": (0.0, 10.0, " mmol/min"), "kidney_lost_frac": (0.0, 1.0, ""),
    "base_loss_mmol_per_l": (-25.0, 30.0, " mmol/L"), "rise_mmhg": (0.0, 60.0, " mmHg"), "days": (0.0, 3650.0, ""),
    "severity_frac": (0.0, 1.0, ""),
    "volume_ml": (0.0, 300.0, " mL"), "lasts_s": (0.0, 7200.0, " s"), "resistance_frac": (0.05, 0.95, ""),
}  # fmt: skip


def _metabolic_sizes(problem: p.Problem) -> Iterator[tuple[str, float, float, float, str]]:
    for field in fields(problem):
        if field.name in _METABOLIC_LIMITS:
            low, high, unit = _METABOLIC_LIMITS[field.name]
            named = unit_of_name(field.name)
            yield named[0] if named else field.name, float(getattr(problem, field.name)), low, high, unit


def check_faults(checks: tuple[Check, ...], time_cap_s: float) -> Iterator[Fault]:
    """Outline numbers: unknown signals, impossible values, and pairs that contradict each other."""
    for i, check in enumerate(checks):
        field = f"checks[{i}]"
        signal = SIGNALS.get(check.signal)
        if signal is None:
            near = near_matches(check.signal, SIGNALS)
            said = f"unknown signal '{check.signal}'"
            yield Fault(code="unknown signal", said=said, place=Place(field=f"{field}.signal"), near=near)
            continue
        values = (check.low, check.high) if isinstance(check, ValueCheck) else (check.value,)
        if not all(signal.low <= value <= signal.high for value in values):
            said = f"{check.signal} {' to '.join(f'{value:g}' for value in values)} cannot be"
            yield _error("out of range", said, field, f"{signal.low:g} to {signal.high:g} {signal.unit}")
        if isinstance(check, ValueCheck) and check.low > check.high:
            yield _error("contradiction", f"low {check.low:g} is above high {check.high:g}", field, remedy="swap them")
        if not 0.0 <= check.at_s <= time_cap_s:
            allowed = f"0 s to the time cap ({time_cap_s:g} s)"
            yield _error("out of range", f"checked at {check.at_s:g} s", f"{field}.at", allowed)
        if not check.source.strip():
            said = "the outline number names no source"
            remedy = "name a paper, or 'author value'"
            yield Fault(code="no source", said=said, place=Place(field=field), remedy=remedy, is_warning=True)
    yield from _contradictions(checks)


def _contradictions(checks: tuple[Check, ...]) -> Iterator[Fault]:
    """Pairs at the same moment of the same course that no patient can show."""
    values = [(i, check) for i, check in enumerate(checks) if isinstance(check, ValueCheck)]
    for (_, a), (j, b) in product(values, values):
        if a.course != b.course or a.at_s != b.at_s:
            continue
        if (a.signal, b.signal) in ORDERED and a.low > b.high:
            said = (
                f"{a.signal} of at least {a.low:g} is above {b.signal} of at most {b.high:g} at the same moment"
                f" ({a.at_s:g} s)"
            )
            yield _error("contradiction", said, f"checks[{j}]", remedy="correct one of them")
        no_breath = a.signal in ("respiratory_rate_per_min", "is_breathing") and a.high <= 0.0
        if no_breath and b.signal == "etco2_mmhg" and b.low > 0.0:
            said = f"no breath moves air at {a.at_s:g} s, so there is no exhaled CO2 of {b.low:g} mmHg"
            yield _error("contradiction", said, f"checks[{j}]", remedy="correct one of them")
        no_pulse = a.signal in ("has_pulse", "pulse_rate_per_min") and a.high <= 0.0
        if no_pulse and b.signal == "systolic_pressure_mmhg" and b.low > 50.0:
            said = f"there is no pulse at {a.at_s:g} s, and a systolic pressure of {b.low:g} mmHg"
            yield _error("contradiction", said, f"checks[{j}]", remedy="correct one of them")
