"""Airway, oxygen and given breaths: "o2 15 reservoir", "opa 4", "tube 7.5 at 22", "bag 10", "jaw thrust"."""

from dataclasses import replace
from typing import Final

from drillyard.core.care.actions import (
    AirwayDevice,
    ClearAirway,
    GiveOxygen,
    OpenAirway,
    PlaceAirway,
    RemoveAirway,
    StopOxygen,
    StopVentilating,
    Ventilate,
)
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, need_share, take_share
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import (
    AIRWAY_SIZES,
    AIRWAYS,
    FLOW_UNITS,
    OFF,
    OXYGEN_DEVICES,
    TUBE_PLACES,
    USUAL_FLOW_L_PER_MIN,
)
from drillyard.core.quantities.faults import Fault, Refusal

HOW_CLEARED: Final = {
    "suction": "suction", "suck out": "suction", "back blows": "back blows", "forceps": "forceps",
    "chest thrusts": "chest thrusts", "abdominal thrusts": "abdominal thrusts",
}  # fmt: skip
OFFERED_DEVICES: Final = ("reservoir mask", "simple mask", "nasal cannula", "bag with reservoir")
DEVICE_FIRST: Final = ("nrb", "non-rebreather", "reservoir mask", "simple mask", "nasal cannula", "nc")
MOST_FLOW_L_PER_MIN: Final = 60.0
USUAL_BAG_RATE_PER_MIN: Final = (6.0, 30.0)


def read_oxygen(reader: Reader, context: EntryContext, word: str) -> Entry:
    """Flow and device in either order; the line may begin with the device itself ("nrb 15")."""
    if reader.take_word(*OFF):
        return Entry(action=StopOxygen())
    flow, device = None, OXYGEN_DEVICES.get(word)
    while not reader.at_end:
        reader.take_word("by", "at", "via", "with")
        number = reader.take_number() if flow is None else None
        if number is not None:
            flow = number
            _flow_unit(reader, number)
            continue
        if device is not None:
            break
        if reader.word() == "mask" and reader.index == len(reader.tokens) - 1:
            raise Ask("Which mask: simple or with reservoir?", ("reservoir mask", "simple mask"), reader.here)
        device = reader.need(OXYGEN_DEVICES, "oxygen device", "By which device?", options=OFFERED_DEVICES)
    if flow is None and device is None:
        raise Ask("How many litres a minute, by which device?", ("15 reservoir mask", "4 nasal cannula"))
    if device is None:
        raise Ask("By which device?", OFFERED_DEVICES)
    low, high = USUAL_FLOW_L_PER_MIN[device]
    if flow is None:
        raise Ask(f"How many litres a minute? Usual with a {device}: {plain(low)} to {plain(high)}.", (plain(high),))
    check_range(flow, 0.1, MOST_FLOW_L_PER_MIN, "an oxygen flow of", "L/min")
    warning = ""
    if not low <= flow <= high:
        warning = f"Usual with a {device}: {plain(low)} to {plain(high)} L/min (common practice, no source)."
    return Entry(action=GiveOxygen(device=device, flow_l_per_min=flow), warning=warning)


def _flow_unit(reader: Reader, number: float) -> None:
    if reader.take_word(*FLOW_UNITS):
        return
    if reader.take_word("%", "percent") or reader.word() in ("mg", "ml", "ml/min", "kpa"):
        raise Refusal(
            Fault(code="wrong unit", said=f"oxygen is logged as a flow, not as '{plain(number)}' of that unit",
                  allowed="L/min", remedy="write for instance 'o2 15 reservoir'")
        )  # fmt: skip


def read_bag(reader: Reader, context: EntryContext, word: str) -> Entry:
    """ "bag 10", "bag 10 400 ml leak 30%"; a number of 100 or more is a volume."""
    if reader.take_word(*OFF):
        return Entry(action=StopVentilating())
    rate, volume_ml, leak = None, None, None
    while not reader.at_end:
        if reader.take_word("leak"):
            leak = need_share(reader, "How much leaks, in per cent?")
            continue
        reader.take_word("at", "of", "with")
        number = reader.take_number()
        if number is None:
            break
        if reader.take_word("/min", "bpm"):
            rate = number
        elif reader.take_word("ml", "cc") or (number >= 100 and volume_ml is None):
            volume_ml = number
        else:
            rate = number
    rate = 10.0 if rate is None else rate
    volume_ml = 500.0 if volume_ml is None else volume_ml
    check_range(rate, 1.0, 80.0, "a breath rate of", "/min")
    check_range(volume_ml, 20.0, 1600.0, "a breath of", "mL")
    low, high = USUAL_BAG_RATE_PER_MIN
    warning = "" if low <= rate <= high else f"{plain(rate)} breaths a minute is outside {plain(low)} to {plain(high)}."
    action = Ventilate(rate_per_min=rate, volume_ml=volume_ml, leak_frac=0.1 if leak is None else leak)
    return Entry(action=action, warning=warning)


def read_airway(reader: Reader, context: EntryContext, word: str) -> Entry:
    device = AIRWAYS[word]
    if reader.take_word(*OFF):
        return Entry(action=RemoveAirway())
    airway = PlaceAirway(device=device)
    while not reader.at_end:
        more = _airway_piece(reader, airway)
        if more is None:
            break
        airway = more
    if device != "tracheal tube" and (airway.place != "trachea" or airway.depth_cm):
        raise Refusal(Fault(code="no depth", said=f"depth and place are kept for a tube, not for a {device}"))
    if not airway.size:
        _ask_size(device, context)
    return Entry(action=airway, warning="An airway is in the log already." if context.airway_in else "")


def _airway_piece(reader: Reader, airway: PlaceAirway) -> PlaceAirway | None:
    """The airway with what the next words say about it; ``None`` where they say nothing."""
    if reader.take_word("at", "depth"):
        depth_cm = reader.need_number("At how many cm?", ("22 cm",))
        reader.take_word("cm")
        check_range(depth_cm, 5.0, 35.0, "a depth of", "cm")
        return replace(airway, depth_cm=depth_cm)
    if reader.take_word("leak"):
        return replace(airway, leak_frac=need_share(reader, "How much leaks, in per cent?"))
    place = reader.take(TUBE_PLACES)
    if place is not None:
        return replace(airway, place=place)
    number = reader.take_number() if not airway.size else None
    if number is not None:
        reader.take_word("mm")
        check_range(number, *AIRWAY_SIZES[airway.device], f"a {airway.device} of size", "")
        return replace(airway, size=number)
    return airway if reader.take_word("size", "in", "into", "the") else None


def _ask_size(device: AirwayDevice, context: EntryContext) -> None:
    low, high = AIRWAY_SIZES[device]
    box = context.box
    sizes = {"tracheal tube": box.tube_sizes, "supraglottic airway": box.supraglottic_sizes}
    in_box = sizes.get(device, box.pharyngeal_sizes)
    raise Ask(f"Which size ({plain(low)} to {plain(high)})?", (plain(size) for size in in_box))


def read_airway_out(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=RemoveAirway(), warning="" if context.airway_in else "No airway is in the log.")


def read_hold_open(reader: Reader, context: EntryContext, word: str) -> Entry:
    held = not reader.take_word(*OFF)
    reader.take_word(*(("on",) if held else ()))
    return Entry(action=OpenAirway(how="head tilt" if "tilt" in word else "jaw thrust", held=held))


def read_clear(reader: Reader, context: EntryContext, word: str) -> Entry:
    share = take_share(reader)
    return Entry(action=ClearAirway(how=HOW_CLEARED[word], cleared_frac=1.0 if share is None else share))


COMMANDS: Final = (
    Command(
        words=("o2", "oxygen", *DEVICE_FIRST),
        about="oxygen: flow and device",
        examples=("o2 15 reservoir", "nrb 15", "o2 4 nasal", "o2 off"),
        read=read_oxygen,
    ),
    Command(
        words=("bag", "ventilate", "bvm"),
        about="breaths by bag",
        examples=("bag 10", "bag 12 400 ml leak 30%", "bag stop"),
        read=read_bag,
    ),
    Command(
        words=tuple(AIRWAYS),
        about="airway device with its size",
        examples=("opa 4", "sga 4", "tube 7.5 at 22"),
        read=read_airway,
    ),
    Command(
        words=("airway out", "extubate"),
        about="airway device taken out",
        examples=("airway out",),
        read=read_airway_out,
    ),
    Command(
        words=("jaw thrust", "head tilt"),
        about="airway held open",
        examples=("jaw thrust", "head tilt off"),
        read=read_hold_open,
    ),
    Command(words=tuple(HOW_CLEARED), about="airway cleared", examples=("suction", "back blows half"), read=read_clear),
)
