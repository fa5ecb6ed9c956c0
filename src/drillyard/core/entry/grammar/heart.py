"""Compressions and shocks: "cpr", "cpr 110 5.5", "cpr stop", "shock 200", "shock 100 sync"."""

from typing import Final

from drillyard.core.care.actions import Compress, Shock, StopCompressions
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, need_share
from drillyard.core.entry.reader import Reader, check_range, plain
from drillyard.core.entry.words import OFF

USUAL_RATE_PER_MIN: Final = (100.0, 120.0)
USUAL_DEPTH_CM: Final = (5.0, 6.0)
"""Adult compressions: 100-120/min, 5-6 cm (AHA guidelines 2020, part 3; from memory)."""
MOST_ENERGY_J: Final = 400.0
USUAL_ENERGY_J: Final = (50.0, 360.0)
"""Energies of manual defibrillators, 50 to 360 J for adults; from memory."""
SHALLOWEST_RATE = 30.0


def read_cpr(reader: Reader, context: EntryContext, word: str) -> Entry:
    """A number of 30 or more is the rate, a smaller one the depth."""
    if reader.take_word(*OFF):
        return Entry(action=StopCompressions())
    reader.take_word("on", "start")
    rate, depth_cm, recoil = 110.0, 5.5, 1.0
    while not reader.at_end:
        if reader.take_word("recoil"):
            recoil = need_share(reader, "How much recoil, in per cent?")
            continue
        reader.take_word("at", "depth", "rate")
        number = reader.take_number()
        if number is None:
            break
        if reader.take_word("/min", "bpm") or (number >= SHALLOWEST_RATE and reader.word() not in ("cm", "mm")):
            rate = number
        else:
            depth_cm = number / 10.0 if reader.take_word("mm") else number
            reader.take_word("cm")
    check_range(rate, 20.0, 220.0, "a compression rate of", "/min")
    check_range(depth_cm, 0.5, 10.0, "a compression depth of", "cm")
    warning = _outside(rate, USUAL_RATE_PER_MIN, "Rate outside 100 to 120/min. ")
    warning += _outside(depth_cm, USUAL_DEPTH_CM, "Depth outside 5 to 6 cm.")
    action = Compress(rate_per_min=rate, depth_cm=depth_cm, recoil_frac=recoil)
    return Entry(action=action, warning=warning.strip())


def _outside(value: float, usual: tuple[float, float], said: str) -> str:
    return "" if usual[0] <= value <= usual[1] else said


def read_shock(reader: Reader, context: EntryContext, word: str) -> Entry:
    energy = reader.need_number("How many joules?", ("150 J", "200 J"))
    reader.take_word("j", "joule", "joules")
    is_synchronised = reader.take_word("sync", "synchronised", "synchronized")
    check_range(energy, 1.0, MOST_ENERGY_J, "a shock of", "J")
    low, high = USUAL_ENERGY_J
    warnings = []
    if not low <= energy <= high:
        warnings.append(f"Unusual energy. Usual: {plain(low)} to {plain(high)} J.")
    if context.oxygen_on:
        warnings.append("Oxygen is on: is it away from the chest?")
    return Entry(action=Shock(energy_j=energy, synchronised=is_synchronised), warning=" ".join(warnings),
                 unusual=not low <= energy <= high)  # fmt: skip


COMMANDS: Final = (
    Command(
        words=("cpr", "compressions"),
        about="chest compressions",
        examples=("cpr", "cpr 110 5.5 recoil 80%", "cpr stop"),
        read=read_cpr,
    ),
    Command(words=("shock", "defib"), about="shock: joules", examples=("shock 200", "shock 100 sync"), read=read_shock),
)
