"""A crew script: what a simulated crew does, when, and on what it can know.

A step acts at a time (``at: "1:30"``) or when something that the crew can know has come about (``when``, an expression
as in scenarios), ``within`` some time after it.  ``do`` is a line as typed at the desk; ``phase`` marks a phase.
"""

from dataclasses import dataclass
from typing import Final, Literal

FORMAT: Final = 1
"""The newest format number of crew files that this version reads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewStep:
    """One step.

    ``at`` is a time of the run as people write it ("1:30", "90 s"); ``within_s`` is how long the crew takes from the
    moment ``when`` first holds, or from ``at``, to the act; ``by`` the seat of who does it; ``confirm`` presses Enter
    a second time where a dose is unusual.
    """

    at: str = ""
    when: str = ""
    within_s: float = 0.0
    do: str = ""
    phase: str = ""
    by: str = "crew"
    confirm: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """A script.  ``name`` is the file's name without ending; ``scenario`` the case it is written for."""

    format: int
    name: str
    title: str
    scenario: str
    care: Literal["good", "poor"]
    about: str = ""
    steps: tuple[CrewStep, ...]
