"""What must be filled and signed before a scenario may be released: the record of its design."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """How one criterion of good simulation design is met, by whom and when (ISO date)."""

    how: str
    by: str = ""
    on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignRecord:
    """The eleven criteria of the simulation design standard (Clin Simul Nurs 2021;58:14-21), in our words.

    A scenario cannot be released until all are filled and a pilot is recorded.
    """

    experts: Criterion | None = None
    needs: Criterion | None = None
    objectives: Criterion | None = None
    modality: Criterion | None = None
    context: Criterion | None = None
    fidelity: Criterion | None = None
    facilitation: Criterion | None = None
    prebrief: Criterion | None = None
    debrief: Criterion | None = None
    evaluation: Criterion | None = None
    pilot: Criterion | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """Clinical sign-off of this very version, with the year of the guideline and the date to look again."""

    by: str
    on: str
    review_by: str
    guideline: str = ""
