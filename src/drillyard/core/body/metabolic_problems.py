"""How problems of metabolism, heat, salts, acid and infection reach the body: as controls, never as a vital sign.

What an illness has done before the case begins (glucose, ketones, potassium, acid, cold) is a load: it is put in once,
by the difference to what was put in before, and stays when the problem ends.
"""

from typing import Protocol, TypeGuard, get_args

from drillyard.core.care.metabolic_problems import (
    AcidBaseDisorder,
    Exposure,
    Fever,
    InsulinExcess,
    InsulinLack,
    LastingHypercapnia,
    MetabolicProblem,
    PotassiumDisorder,
    Sepsis,
)
from drillyard.core.numerics.elementary import exp

BASE_PER_MMHG = 0.40
"""Base excess that kidneys win in the end per mmHg of lasting carbon dioxide (Narins and Emmett 1980)."""
RENAL_DAYS = 1.25
"""Time constant of that: about 30 h."""
GLUCOSE_SPACE_DL_PER_KG = 2.3


class Sick(Protocol):
    """What these problems may touch of a body."""

    notes: dict[str, dict[str, str]]

    def control(self, name: str) -> float:
        """The value of a control."""
        ...

    def set_control(self, name: str, value: float) -> None:
        """Write a control."""
        ...

    @property
    def mass_kg(self) -> float:
        """Body mass."""
        ...


def is_metabolic(problem: object) -> TypeGuard[MetabolicProblem]:
    """Whether a problem is one of these."""
    return isinstance(problem, get_args(MetabolicProblem))


def start_metabolic(body: Sick, problem: MetabolicProblem, size_frac: float) -> None:
    """Set ``problem`` at ``size_frac`` (0 to 1) of its size.  Called again while it grows."""
    match problem:
        case InsulinExcess():
            share = problem.action_frac * size_frac
            body.set_control("tablets_excess_frac" if problem.by_tablets else "insulin_excess_frac", share)
            body.set_control("glycogen_emptied_frac", problem.glycogen_emptied_frac)
        case InsulinLack():
            body.set_control("insulin_lack_frac", problem.lack_frac * size_frac)
            rise = problem.glucose_rise_mg_per_dl * size_frac
            _load(body, problem.name, "glucose_load_mg", rise * GLUCOSE_SPACE_DL_PER_KG * body.mass_kg)
            # dried out by the days before, the kidneys filter about half (common teaching, no source)
            dry = 0.5 if problem.glucose_rise_mg_per_dl * size_frac > 150.0 else 0.0
            body.set_control("kidney_lost_frac", dry)
            _load(body, problem.name, "ketone_load_mmol_per_l", problem.ketones_mmol_per_l * size_frac)
        case Fever():
            body.set_control("fever_set_degc", problem.rise_degc * size_frac)
        case Exposure():
            body.set_control("ambient_degc", problem.ambient_degc)
            body.set_control("heat_loss_frac", 1.0 + problem.added_loss_frac * size_frac)
            _load(body, problem.name, "core_load_degc", problem.core_change_degc * size_frac)
        case PotassiumDisorder():
            body.set_control("potassium_release_mmol_per_min", problem.release_mmol_per_min * size_frac)
            body.set_control("kidney_lost_frac", problem.kidney_lost_frac * size_frac)
            _load(body, problem.name, "potassium_load_mmol_per_l", problem.rise_mmol_per_l * size_frac)
        case AcidBaseDisorder():
            _load(body, problem.name, "base_load_mmol_per_l", -problem.base_loss_mmol_per_l * size_frac)
        case LastingHypercapnia():
            rise = problem.rise_mmhg * size_frac
            body.set_control("co2_set_shift_mmhg", rise)
            won = BASE_PER_MMHG * rise * (1.0 - exp(-problem.days / RENAL_DAYS))
            body.set_control("renal_base_before_mmol_per_l", won)
        case Sepsis():
            body.set_control("septic_severity_frac", problem.severity_frac * size_frac)


def end_metabolic(body: Sick, problem: MetabolicProblem) -> None:
    """Take the cause away; what it has done stays, and the body mends it in its own time."""
    match problem:
        case InsulinExcess():
            body.set_control("tablets_excess_frac" if problem.by_tablets else "insulin_excess_frac", 0.0)
        case InsulinLack():
            body.set_control("insulin_lack_frac", 0.0)
            body.set_control("kidney_lost_frac", 0.0)
        case Fever():
            body.set_control("fever_set_degc", 0.0)
        case Exposure():
            body.set_control("ambient_degc", 24.0)
            body.set_control("heat_loss_frac", 1.0)
        case PotassiumDisorder():
            body.set_control("potassium_release_mmol_per_min", 0.0)
            body.set_control("kidney_lost_frac", 0.0)
        case AcidBaseDisorder():
            pass
        case LastingHypercapnia():
            body.set_control("co2_set_shift_mmhg", 0.0)
        case Sepsis():
            body.set_control("septic_severity_frac", 0.0)


def _load(body: Sick, name: str, control: str, wanted: float) -> None:
    """Bring what this problem has loaded to ``wanted``: the difference is handed to the body."""
    key = f"{name}|{control}"
    had = float(body.notes["taken"].get(key, "0"))
    if wanted != had:
        body.set_control(control, body.control(control) + wanted - had)
        body.notes["taken"][key] = repr(wanted)
