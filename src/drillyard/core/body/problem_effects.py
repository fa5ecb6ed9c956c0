"""How a problem of the shared vocabulary reaches the body: as controls, never as a vital sign."""

from typing import Final, Protocol

from drillyard.core.body import lines
from drillyard.core.body.brain_problems import start_brain
from drillyard.core.body.metabolic_problems import end_metabolic, is_metabolic, start_metabolic
from drillyard.core.care.brain_problems import BrainSwelling, IntracranialBleeding, Pain, Seizure, Stroke
from drillyard.core.care.fluid_problems import AllergicReaction, Burn, LineFailure, UterineBleeding
from drillyard.core.care.problems import (
    AirwayBlockage,
    AirwaySwelling,
    Arrest,
    Aspiration,
    Bleeding,
    Bronchospasm,
    CarbonMonoxide,
    CoronaryOcclusion,
    DrugTaken,
    FlailChest,
    Haemothorax,
    Methaemoglobin,
    Pneumonia,
    Pneumothorax,
    Problem,
    PulmonaryEmbolism,
    PulmonaryOedema,
    PumpFailure,
    Secretions,
    Shunt,
    SpinalCordInjury,
    Tamponade,
    VesselDilation,
)
from drillyard.core.quantities.faults import Fault, Refusal

WOUNDS = 3
NERVES_CUT: Final = {"C5": (1.0, 1.0), "T1": (1.0, 1.0), "T4": (0.4, 0.95), "T6": (0.0, 0.8), "T10": (0.0, 0.35)}
"""Share of the sympathetic nerves of heart and vessels below each level.  The heart's leave the cord at T1 to T4, those
of the gut at T5 to L2 (anatomy: textbook; the shares are our choice)."""
AGENT_ARRIVES_S: Final = {"vein": 40.0, "skin": 240.0, "mouth": 700.0}
"""Time in which an agent reaches mast cells, by the way it came in (order of Pumphrey 2000, from memory)."""


class Controlled(Protocol):
    """What problems and care may touch of a body."""

    notes: dict[str, dict[str, str]]

    @property
    def mass_kg(self) -> float:
        """Body mass."""
        ...

    def control(self, name: str) -> float:
        """The value of a control."""
        ...

    def read(self, name: str) -> float:
        """The present value of a signal."""
        ...

    def set_control(self, name: str, value: float) -> None:
        """Write a control; it acts from the next step."""
        ...

    def open_vent(self, side: str) -> None:
        """A fresh needle in the chest of that side is open."""
        ...

    def give(self, drug: str, dose: float, dose_unit: str, route: str, over_s: float = 0.0, site: str = "") -> None:
        """Put a dose of a drug into the body."""
        ...

    def infuse(
        self, drug: str, rate: float, rate_unit: str, route: str, site: str = "", strength_per_ml: float = 0.0
    ) -> None:
        """Run a drug in until it is changed or stopped."""
        ...

    def stop_infusion(self, drug: str) -> bool:
        """End an infusion; false where none was running."""
        ...


def start(body: Controlled, problem: Problem, size_frac: float) -> None:  # noqa: PLR0912 - one case a problem
    """Set ``problem`` at ``size_frac`` (0 to 1) of its size.  Called again while it grows.

    Raises:
        Refusal: a fourth wound, or a drug that the formulary does not know.
    """
    match problem:
        case Bleeding():
            wound = _wound(body, problem)
            body.set_control(f"wound_{wound}_ml_per_min", problem.rate_ml_per_min * size_frac)
            body.set_control(f"wound_{wound}_into_chest_code", {"belly": 3.0, "pelvis": 4.0}.get(problem.into, 0.0))
        case Pneumothorax():
            body.set_control(
                f"lung_leak_{problem.side}_ml_per_s_per_cmh2o", problem.leak_ml_per_s_per_cmh2o * size_frac
            )
            body.set_control(f"lung_leak_{problem.side}_is_valve", 1.0 if problem.valve else 0.0)
            if "sealed" not in body.notes["chest"].get(problem.side, ""):
                open_wound = problem.wound_ml_per_s_per_cmh2o * size_frac
                body.set_control(f"chest_wound_{problem.side}_ml_per_s_per_cmh2o", open_wound)
            body.set_control("chest_vent_clot_time_s", problem.needle_clots_after_s)
        case AirwayBlockage():
            body.set_control("airway_block_frac", problem.blocked_frac * size_frac)
        case DrugTaken():
            # a drug is taken once, however often its growth is set
            if problem.name not in body.notes["taken"]:
                body.notes["taken"][problem.name] = problem.drug
                body.give(problem.drug, problem.dose, problem.dose_unit, problem.route, problem.over_s)
        case Arrest():
            if problem.name not in body.notes["taken"]:
                body.notes["taken"][problem.name] = problem.rhythm
                is_asystole = problem.rhythm == "asystole"
                body.set_control("rhythm_order", 2.0 if is_asystole else 1.0)
                # a heart with oxygen would fire again at once: asystole as a problem lasts until it is ended
                body.set_control("rhythm_is_held", 1.0 if is_asystole else 0.0)
        case Shunt():
            body.set_control("added_shunt_frac", problem.shunt_frac * size_frac)
        case Tamponade():
            body.set_control("pericardial_fluid_ml", problem.volume_ml * size_frac)
        case Bronchospasm():
            body.set_control("bronchospasm_frac", problem.severity_frac * size_frac)
            body.set_control("bronchospasm_swelling_frac", problem.swelling_share_frac)
        case AirwaySwelling():
            body.set_control("upper_swelling_frac", problem.swelling_frac * size_frac)
        case Secretions():
            body.set_control("secretions_frac", problem.amount_frac * size_frac)
        case PulmonaryOedema():
            body.set_control("left_heart_stiff_frac", problem.filling_rise_frac * size_frac)
            body.set_control("lung_leak_frac", problem.leak_frac * size_frac)
        case Pneumonia():
            body.set_control(f"consolidated_{problem.side}_frac", problem.solid_frac * size_frac)
        case Aspiration():
            body.set_control("aspirated_frac", problem.amount_frac * size_frac)
        case Haemothorax():
            wound = _wound(body, problem)
            body.set_control(f"wound_{wound}_ml_per_min", problem.rate_ml_per_min * size_frac)
            body.set_control(f"wound_{wound}_into_chest_code", 1.0 if problem.side == "left" else 2.0)
        case FlailChest():
            body.set_control(f"flail_{problem.side}_frac", problem.force_lost_frac * size_frac)
        case CarbonMonoxide():
            body.set_control("ambient_co_ppm", 1.0e6 * problem.room_frac * size_frac)
            _take_once(body, problem.name, "cohb_order_frac", problem.cohb_frac)
        case Methaemoglobin():
            _take_once(body, problem.name, "methb_order_frac", problem.methb_frac)
        case CoronaryOcclusion():
            body.set_control(f"coronary_{problem.territory}_shut_frac", problem.occluded_frac * size_frac)
            body.set_control("coronary_clot_frac", problem.clot_frac)
            if problem.territory == "inferior":
                body.set_control("coronary_shuts_right", 1.0 if problem.right_ventricle else 0.0)
        case PulmonaryEmbolism():
            body.set_control("lung_vessels_clotted_frac", problem.obstructed_frac * size_frac)
        case PumpFailure():
            body.set_control("added_left_depression_frac", problem.lost_frac * size_frac)
        case VesselDilation():
            body.set_control("added_vessel_dilation_frac", problem.lost_frac * size_frac)
        case SpinalCordInjury():
            heart, vessels = NERVES_CUT[problem.level]
            body.set_control("nerves_cut_heart_frac", heart * size_frac)
            body.set_control("nerves_cut_vessels_frac", vessels * size_frac)
        case AllergicReaction():
            body.set_control("allergen_severity_frac", problem.severity_frac * size_frac)
            body.set_control("allergen_onset_s", AGENT_ARRIVES_S[problem.entry])
        case Burn():
            body.set_control("burnt_surface_frac", problem.surface_frac * size_frac)
            body.set_control("burn_depth_frac", problem.full_thickness_frac)
        case UterineBleeding():
            body.set_control("womb_ml_per_min", problem.rate_ml_per_min * size_frac)
            body.set_control("womb_slack_frac", problem.slack_frac)
        case LineFailure():
            lines.fail(body, problem)
        case IntracranialBleeding() | BrainSwelling() | Seizure() | Stroke() | Pain():
            start_brain(body, problem, size_frac)
        case _:
            start_metabolic(body, problem, size_frac)


def end(body: Controlled, problem: Problem) -> None:
    """Take a problem away.  What it has done to the patient stays."""
    match problem:
        case Bleeding() | Haemothorax():
            if problem.name in body.notes["wounds"]:
                wound = body.notes["wounds"][problem.name].split("|")[0]
                body.set_control(f"wound_{wound}_ml_per_min", 0.0)
        case Pneumothorax():
            body.set_control(f"lung_leak_{problem.side}_ml_per_s_per_cmh2o", 0.0)
            body.set_control(f"chest_wound_{problem.side}_ml_per_s_per_cmh2o", 0.0)
        case Arrest():
            body.set_control("rhythm_is_held", 0.0)
        case DrugTaken() | Methaemoglobin():
            pass
        case CarbonMonoxide():
            body.set_control("ambient_co_ppm", 0.0)
        case LineFailure():
            lines.mend(body, problem)
        case _ if is_metabolic(problem):
            end_metabolic(body, problem)
        case _:
            start(body, problem, 0.0)


def _take_once(body: Controlled, name: str, control: str, share_frac: float) -> None:
    """What blood takes on at once, however often the growth of the problem is set."""
    if name not in body.notes["taken"] and share_frac > 0.0:
        body.notes["taken"][name] = control
        body.set_control(control, share_frac)


def _wound(body: Controlled, problem: Bleeding | Haemothorax) -> int:
    wounds = body.notes["wounds"]
    if problem.name in wounds:
        return int(wounds[problem.name].split("|")[0])
    used = {int(entry.split("|")[0]) for entry in wounds.values()}
    free = [number for number in range(1, WOUNDS + 1) if number not in used]
    if not free:
        raise Refusal(
            Fault(
                code="too many wounds",
                said=f"'{problem.name}' would be wound number {WOUNDS + 1}",
                allowed=f"at most {WOUNDS} bleeding wounds in one patient",
                remedy="join wounds of one place into one rate",
            )
        )
    site = f"{problem.side} chest" if isinstance(problem, Haemothorax) else problem.site
    wounds[problem.name] = f"{free[0]}|{site}"
    return free[0]
