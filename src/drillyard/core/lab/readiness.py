"""What must be true before a real session starts.  A rehearsal asks for none of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from drillyard.core.quantities.faults import Fault


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing to look at before the start, and why."""

    text: str
    why: str


SAFETY_TICKS: Final = (
    Tick("The chest is dry and oxygen is turned off and away before any live shock", "oxygen and a spark burn"),
    Tick("Live shocks go only to posts or pads made for it", "a shock beside them can hurt people and the manikin"),
    Tick("Floor dry, cables out of the way, sharps bin in reach", "falls and needle injuries"),
    Tick("Nothing in the room can be taken for clinical stock", "training drugs and fluids must not reach a patient"),
    Tick("Crew asked about latex, adhesives, pregnancy, injury, pacemaker", "kept private by the person in charge"),
    Tick("Crew knows the stop word and the real-emergency word", "a real faint must not be taken as acting"),
    Tick("Crew knows what this manikin shows and what will be told", "nobody is scored on what could not be seen"),
)
"""Common practice, no source; a lab's own hazards come from the scenario."""

AGREEMENT_VERSION: Final = "1"
AGREEMENT: Final = (
    "What happens in the session stays in the session.",
    "I treat the manikin and the equipment as I would treat a patient and a colleague's tools.",
    "I know that the case is invented and that I may stop at any time with the stop word.",
    "I have told the person in charge of anything that could harm me here.",
    "What is written down is used to learn from. Recordings need a consent of their own.",
)
"""The text that a crew member agrees to.  A lab that changes it gives it a new version."""


@dataclass(frozen=True, slots=True)
class Seat:
    """One member of the crew as the rules see it."""

    person_id: str
    seat: str
    has_agreed: bool


def crew_faults(crew: Sequence[Seat], known_ids: Iterable[str]) -> list[Fault]:
    """What is wrong with the crew of a session; empty when nothing is."""
    known = set(known_ids)
    faults = []
    if not crew:
        faults.append(Fault(code="no crew", said="a session needs a crew", remedy="add the people who take part"))
    for number, member in enumerate(crew):
        if member.person_id not in known:
            faults.append(
                Fault(
                    code="unknown person",
                    said=f"seat '{member.seat}' is given to nobody we know",
                    remedy="choose a person from the list",
                )
            )
        elif any(member.person_id == other.person_id for other in crew[:number]):
            faults.append(
                Fault(
                    code="person twice",
                    said=f"one person sits in two seats, '{member.seat}' is the second",
                    remedy="give each seat to one person",
                )
            )
        if not member.has_agreed:
            faults.append(
                Fault(
                    code="agreement missing",
                    said=f"seat '{member.seat}' has not agreed yet",
                    remedy="let them read the agreement and tick it",
                )
            )
    return faults


def tick_faults(wanted: Iterable[str], ticked: Iterable[str]) -> list[Fault]:
    """Safety ticks that are missing."""
    done = set(ticked)
    return [
        Fault(code="safety tick missing", said=f"not ticked: {tick}", remedy="look, then tick it")
        for tick in wanted
        if tick not in done
    ]
