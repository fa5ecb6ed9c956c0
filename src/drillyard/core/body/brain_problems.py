"""How problems of brain and skull and pain reach the body: as controls, never as a vital sign."""

from typing import Protocol

from drillyard.core.care.brain_problems import (
    BrainProblem,
    BrainSwelling,
    IntracranialBleeding,
    Pain,
    Seizure,
    Stroke,
)


class Noted(Protocol):
    """What these problems may touch of a body."""

    notes: dict[str, dict[str, str]]

    def set_control(self, name: str, value: float) -> None:
        """Write a control; it acts from the next step."""
        ...


def start_brain(body: Noted, problem: BrainProblem, size_frac: float) -> None:
    """Set ``problem`` at ``size_frac`` (0 to 1) of its size.  Called again while it grows, with 0 when it ends."""
    match problem:
        case IntracranialBleeding():
            body.set_control(f"skull_mass_{problem.side}_ml", problem.volume_ml * size_frac)
        case BrainSwelling():
            body.set_control("brain_swelling_ml", problem.volume_ml * size_frac)
        case Seizure():
            body.set_control("seizure_cause_frac", problem.severity_frac * size_frac)
            body.set_control("seizure_lasts_s", problem.lasts_s)
            body.set_control("seizure_spreads", 1.0 if problem.spreads else 0.0)
            body.set_control("seizure_is_eclampsia", 1.0 if problem.eclampsia else 0.0)
            body.set_control("seizure_resistance_frac", problem.resistance_frac)
        case Stroke():
            body.set_control("stroke_side_code", -1.0 if problem.side == "left" else 1.0)
            body.set_control("stroke_territory_code", 1.0 if problem.territory == "posterior" else 0.0)
            body.set_control("stroke_severity_frac", problem.severity_frac * size_frac)
        case Pain():
            pains = body.notes.setdefault("pain", {})
            pains[problem.name] = repr(problem.severity_frac * size_frac)
            body.set_control("pain_source_frac", max(float(level) for level in pains.values()))
