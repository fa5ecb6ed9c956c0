"""Proving: simulated crews play a case headless, through the same desk and the same run as people do.

In:       a run's setup, a crew script, a desk.
Out:      ``Rehearsal``: the log, the tracks, what could not be done; ``Outcome``: the main numbers.
Assumes:  a crew acts on what it can see, hear, feel or read on the monitor, never on the hidden body.
Left out: variation between crews and sweeps of many runs.
"""

from drillyard.core.proving.check import check_crew
from drillyard.core.proving.crew import FORMAT, Crew, CrewStep
from drillyard.core.proving.outcome import Outcome, outcome_of
from drillyard.core.proving.player import DeskPart, NotDone, Rehearsal, rehearse
from drillyard.core.proving.story import story_lines, summary_lines

__all__ = [
    "FORMAT",
    "Crew",
    "CrewStep",
    "DeskPart",
    "NotDone",
    "Outcome",
    "Rehearsal",
    "check_crew",
    "outcome_of",
    "rehearse",
    "story_lines",
    "summary_lines",
]
