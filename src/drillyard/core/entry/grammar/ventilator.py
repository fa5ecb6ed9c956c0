"""Ventilator and mask pressure: "vent volume 12 450 ml peep 5 50%", "vent pressure 12 15 over 5", "cpap 10 50%"."""

from dataclasses import replace
from typing import Final, Literal

from drillyard.core.care.actions import SetVentilator, StopVentilating
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, need_share, take_share
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import OFF

Mode = Literal["volume", "pressure", "CPAP", "bilevel"]
MODES: Final[dict[str, Mode]] = {
    "volume": "volume", "vc": "volume", "pressure": "pressure", "pc": "pressure", "cpap": "CPAP", "bilevel": "bilevel",
}  # fmt: skip
OFFERS: Final = ("volume 12 450 ml peep 5 50%", "pressure 12 15 over 5 50%")
USUAL_PRESSURE_CMH2O: Final = 35.0
"""Above this a warning (common practice, no source)."""


def read_ventilator(reader: Reader, context: EntryContext, word: str) -> Entry:
    if reader.take_word(*OFF):
        return Entry(action=StopVentilating())
    mode = MODES[word] if word in MODES else reader.take(MODES)
    if mode is None:
        raise Ask("Which mode, how often, how much?", OFFERS, reader.here)
    action = SetVentilator(mode=mode)
    numbers = 0
    while not reader.at_end:
        more = _piece(reader, action, is_first=numbers == 0)
        if more is None:
            break
        action, numbers = more, numbers + 1
    if numbers == 0:
        raise Ask("How much?", ("10 50%",) if mode == "CPAP" else ("10 over 5 50%",) if mode == "bilevel" else OFFERS)
    _check(action)
    highest = action.peep_cmh2o + (action.pressure_cmh2o if mode in ("pressure", "bilevel") else 0.0)
    warning = ""
    if highest > USUAL_PRESSURE_CMH2O:
        warning = f"{plain(highest)} cmH2O is more than usual (common practice, no source)."
    elif mode in ("volume", "pressure") and not context.airway_in:
        warning = "No airway device is in the log: a ventilator on a mask leaks and fills the stomach."
    return Entry(action=action, warning=warning)


def _piece(  # noqa: PLR0911 - one return a kind of setting
    reader: Reader, action: SetVentilator, *, is_first: bool
) -> SetVentilator | None:
    """The setting with what the next words say about it; ``None`` where they say nothing."""
    if reader.take_word("leak"):
        return replace(action, leak_frac=need_share(reader, "How much leaks, in per cent?"))
    if reader.take_word("peep"):
        return replace(action, peep_cmh2o=reader.need_number("How many cmH2O?", ("5",)))
    if reader.take_word("rate"):
        return replace(action, rate_per_min=reader.need_number("How often a minute?", ("12",)))
    reader.take_word("at", "of", "with", "o2", "cmh2o")
    share = take_share(reader)
    if share is not None:
        return replace(action, o2_frac=share)
    number = reader.take_number()
    if number is None:
        return None
    if reader.take_word("over"):
        peep = reader.need_number("Over which end-expiratory pressure?", ("5",))
        return replace(action, pressure_cmh2o=number, peep_cmh2o=peep)
    if reader.take_word("ml", "cc") or (number >= 100 and action.mode == "volume"):
        return replace(action, volume_ml=number)
    if action.mode == "CPAP" and is_first:
        return replace(action, peep_cmh2o=number)
    if reader.take_word("/min", "bpm") or (is_first and action.mode != "bilevel"):
        return replace(action, rate_per_min=number)
    return replace(action, pressure_cmh2o=number)


def _check(action: SetVentilator) -> None:
    check_range(action.rate_per_min, 0.0, 80.0, "a breath rate of", "/min")
    check_range(action.volume_ml, 20.0, 1600.0, "a breath of", "mL")
    check_range(action.pressure_cmh2o, 0.0, 60.0, "a pressure of", "cmH2O")
    check_range(action.peep_cmh2o, 0.0, 30.0, "an end-expiratory pressure of", "cmH2O")
    check_range(action.o2_frac, 0.21, 1.0, "an oxygen share of", "")


COMMANDS: Final = (
    Command(
        words=("vent", "ventilator"),
        about="ventilator: mode, rate, volume or pressure, end-expiratory pressure, oxygen",
        examples=("vent volume 12 450 ml peep 5 50%", "vent pressure 12 15 over 5 50%", "vent off"),
        read=read_ventilator,
    ),
    Command(
        words=("cpap", "bilevel"),
        about="pressure by mask: steady, or one over another",
        examples=("cpap 10 50%", "bilevel 10 over 5 50%", "cpap off"),
        read=read_ventilator,
    ),
)
