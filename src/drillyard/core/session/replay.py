"""Replay: a log in, the run out, to the bit."""

from collections.abc import Iterable

from drillyard.core.session.events import Event
from drillyard.core.session.run import Run
from drillyard.core.session.setup import RunSetup


def replay(setup: RunSetup, events: Iterable[Event], to_step: int | None = None) -> Run:
    """The run that a log tells.

    Goes through the log in order of ``seq`` and then on to ``to_step``.  ``mismatches`` of the run says where the log
    and today's body differ; ``pending_wanted`` what the core found that the log has not (the tail lost in a crash, or
    a departure).
    """
    run = Run(setup)
    run.advance_to(0)
    for event in sorted(events, key=lambda event: event.seq):
        run.advance_to(event.step)
        run.post(event)
    if to_step is not None:
        run.advance_to(to_step)
    return run
