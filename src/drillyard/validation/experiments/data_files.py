"""Doses of guidelines as the drug files carry them: checks on data, never evidence about the body."""

from functools import partial
from typing import Final

from drillyard.scripting import shipped_drugs
from drillyard.validation.bench import Answers, Bench, answers

_DOSES: Final = {
    # row: drug, words in the dose's name, route, the row's unit over the file's, published dose
    "PK001": ("epinephrine", "cardiac arrest, adult", "IV", 1.0, 1.0),
    "PK003": ("epinephrine", "anaphylaxis", "IM", 1.0, 0.5),
    "PK028": ("dopamine", "bradycardia, adult", "IV", 1.0, 12.0),
    "PK038": ("adenosine", "adult, second", "IV", 1.0, 12.0),
    "PK040": ("amiodarone", "cardiac arrest in VF or pulseless VT, second", "IV", 1.0, 150.0),
    "PK045": ("lidocaine", "further", "IV", 1.0, 0.625),
    "PK104": ("diazepam", "status epilepticus, adult", "IV", 1.0, 10.0),
    "PK157": ("tranexamic acid", "within 3 h", "IV", 0.001, 1.0),
}


def _distance(published: float, value: float) -> float:
    return abs(value - published)


@answers(*_DOSES)
def usual_doses(bench: Bench) -> Answers:
    """The dose of the file; of a dose range the end that lies further from the published dose, so that both must fit.

    The first dose whose name holds the words counts: files list the adult's first.  A drug that no file carries is
    said to be missing; a file that lacks the dose fails.
    """
    drugs = shipped_drugs()
    found: Answers = {}
    for row, (name, words, route, per_unit, published) in _DOSES.items():
        if name not in drugs:
            bench.leave(row, f"{name} is not in the formulary yet")
            continue
        for dose in drugs.get(name).usual_doses:
            if words in dose.what and dose.route == route and row not in found:
                ends = (dose.low * per_unit, dose.high * per_unit)
                found[row] = max(ends, key=partial(_distance, published))
    return found


@answers("PK002")
def time_between_arrest_doses(bench: Bench) -> Answers:
    """Time between two doses of epinephrine in an adult's arrest: the end further from the published 4 min."""
    for dose in shipped_drugs().get("epinephrine").usual_doses:
        if dose.what == "cardiac arrest, adult" and dose.again_after_s and dose.again_after_high_s:
            ends = (dose.again_after_s / 60.0, dose.again_after_high_s / 60.0)
            return {"PK002": max(ends, key=partial(_distance, 4.0))}
    return {}
