"""Which commands a room takes now, and which it refuses with one sentence."""

from typing import Final, NoReturn

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import (
    EntryCorrected,
    EntryUndone,
    FalseStart,
    Happening,
    LateEntry,
    NoteWritten,
    Paused,
    RealEmergency,
    Resumed,
    RunEnded,
    StopWordSaid,
    TimeJumped,
)
from drillyard.core.session.run import Run

OLDEST_COMMAND_S: Final = 5.0
"""A command kept longer than this is refused, so that nothing fires unasked after an outage."""

_WHILE_FROZEN: Final = (EntryUndone, EntryCorrected, NoteWritten, StopWordSaid, RealEmergency, RunEnded, FalseStart)
_AFTER_END: Final = (NoteWritten, EntryUndone, EntryCorrected, LateEntry, FalseStart)


def check_age(age_s: float) -> None:
    """Refuses a command that somebody kept too long.

    Raises:
        Refusal: it is older than ``OLDEST_COMMAND_S``.
    """
    if age_s > OLDEST_COMMAND_S:
        refuse(
            "too old",
            f"this was entered {age_s:.0f} s ago and has not been done",
            "enter it again if it still holds, as a late entry if it was done then",
        )


def check_now(body: Happening, run: Run, *, is_moving: bool, has_crashed: bool) -> None:
    """Refuses what cannot be while the room stands as it does.

    Raises:
        Refusal: the room has stopped, the run has ended or is frozen, time runs or stands still already, or a jump that
            the case does not declare.
    """
    if has_crashed:
        refuse("room stopped", "this room has stopped", "restart the server; the run goes on from its log")
    if run.is_ended and not isinstance(body, _AFTER_END):
        refuse("run has ended", "the run has ended", "write a note, or look at the debrief")
    if run.frozen is not None and not isinstance(body, _WHILE_FROZEN):
        raise Refusal(run.frozen)
    if isinstance(body, Paused) and not is_moving:
        refuse("paused already", "the run stands still already", "resume it")
    if isinstance(body, Resumed) and is_moving:
        refuse("running already", "the run is running already", "nothing is to be done")
    if isinstance(body, TimeJumped):
        _check_jump(body, run)


def _check_jump(body: TimeJumped, run: Run) -> None:
    allowed = [seconds / 60.0 for seconds in run.setup.scenario.time_jumps_s]
    if not any(abs(body.minutes - minutes) < 1e-9 for minutes in allowed):
        words = " or ".join(f"{minutes:g} min" for minutes in allowed)
        raise Refusal(
            Fault(
                code="jump not declared",
                said=f"this case declares no jump of {body.minutes:g} min",
                allowed=words or "no jump in this case",
                remedy="let time run, or declare the jump in the scenario",
            )
        )


def refuse(code: str, said: str, remedy: str) -> NoReturn:
    """Refuses with one sentence."""
    raise Refusal(Fault(code=code, said=said, remedy=remedy))
