"""The time in front of a late entry: "@2:10 tq l thigh"."""

import re
from typing import Final

from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.reader import Ask
from drillyard.core.entry.sentences import clock_text
from drillyard.core.quantities.faults import Fault, Refusal

_CLOCK: Final = re.compile(r"^(-?)(?:(\d{1,2}):)?(\d{1,3}):(\d{2})$")
_SPAN: Final = re.compile(r"^(-?)(\d+(?:\.\d+)?)\s?(s|sec|min|m)$")


def split_late(line: str, context: EntryContext) -> tuple[float | None, str]:
    """The time of a late entry in seconds (``None`` where there is none) and the rest of the line.

    Raises:
        Ask: a bare number, which could be seconds or minutes.
        Refusal: not a time, before the start or later than now.
    """
    text = line.lstrip()
    if not text.startswith("@"):
        return None, line
    word, _, rest = text[1:].lstrip().partition(" ")
    t_s = seconds_of(word)
    if t_s < context.start_s:
        raise Refusal(
            Fault(code="before the start", said=f"{clock_text(t_s)} is before the start of the run", value=word,
                  allowed=f"{clock_text(context.start_s)} to {clock_text(context.now_s)}", remedy="correct the time")
        )  # fmt: skip
    if t_s > context.now_s:
        raise Refusal(
            Fault(code="not yet", said=f"{clock_text(t_s)} has not come yet", value=word,
                  allowed=f"{clock_text(context.start_s)} to {clock_text(context.now_s)}", remedy="correct the time")
        )  # fmt: skip
    return t_s, rest


def seconds_of(word: str) -> float:
    """A time of the run in seconds from "2:10", "1:02:10", "130s" or "2min"; may be negative.

    Raises:
        Ask: a bare number, which could be seconds or minutes.
        Refusal: not a time.
    """
    if not word:
        raise Ask("At what time? For instance @2:10.")
    clock = _CLOCK.match(word)
    if clock:
        sign, hours, minutes, seconds = clock.groups()
        if int(seconds) < 60 and (hours is None or int(minutes) < 60):
            return (-1 if sign else 1) * (int(hours or 0) * 3600.0 + int(minutes) * 60.0 + int(seconds))
    span = _SPAN.match(word)
    if span:
        sign, number, unit = span.groups()
        return (-1 if sign else 1) * float(number) * (1.0 if unit.startswith("s") else 60.0)
    if word.lstrip("-").isdigit():
        raise Ask(f"{word} seconds or {word} minutes? Write @{word}s or @{word}:00.")
    raise Refusal(
        Fault(
            code="not a time",
            said=f"'{word}' is not a time of the run",
            value=word,
            remedy="write for instance '@2:10'",
        )
    )
