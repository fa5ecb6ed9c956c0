"""Bleeding and chest: "tq l thigh", "pack groin", "tq off l thigh", "needle l 5", "needle r 2 mcl 14g", "seal l"."""

from typing import Final, Literal

from drillyard.core.care.actions import (
    ControlBleeding,
    DecompressChest,
    InsertChestTube,
    ReleaseBleeding,
    SealChest,
    Side,
)
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, take_share, take_side, take_site
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import CHEST_LINES, LIMB_PARTS, OFF

HOW: Final[dict[str, Literal["tourniquet", "packing", "direct pressure", "pelvic binder", "massage"]]] = {
    "tq": "tourniquet", "tourniquet": "tourniquet",
    "pack": "packing", "packing": "packing",
    "press": "direct pressure", "pressure on": "direct pressure", "direct pressure": "direct pressure",
    "binder": "pelvic binder", "pelvic binder": "pelvic binder", "massage": "massage",
}  # fmt: skip
GAUGE_LOW, GAUGE_HIGH = 8, 18
SPACE_LOW, SPACE_HIGH = 1, 9


def read_control(reader: Reader, context: EntryContext, word: str) -> Entry:
    how = HOW[word]
    if reader.take_word(*OFF):
        return _release(reader, context)
    reader.take_word("on", "the")
    parts = LIMB_PARTS if how == "tourniquet" else None
    sites = [site for site in context.bleeding_sites if parts is None or any(site.endswith(part) for part in parts)]
    what = "place for a tourniquet" if how == "tourniquet" else "place"
    site = take_site(reader, "Where?", sites, parts, what)
    share = take_share(reader)
    warning = ""
    if context.bleeding_sites and site not in context.bleeding_sites:
        warning = f"No wound of this case is at the {site} (wounds: {', '.join(context.bleeding_sites)})."
    return Entry(
        action=ControlBleeding(how=how, site=site, stopped_frac=1.0 if share is None else share), warning=warning
    )


def _release(reader: Reader, context: EntryContext) -> Entry:
    if reader.at_end and len(context.controlled_sites) == 1:
        return Entry(action=ReleaseBleeding(site=context.controlled_sites[0]))
    site = take_site(reader, "Where is it taken off?", context.controlled_sites)
    warning = "" if site in context.controlled_sites else f"Nothing at the {site} is in the log."
    return Entry(action=ReleaseBleeding(site=site), warning=warning)


def read_release(reader: Reader, context: EntryContext, word: str) -> Entry:
    return _release(reader, context)


def _side(reader: Reader, context: EntryContext, wanted: str) -> Side:
    side = take_side(reader)
    if side is not None:
        return side
    offers = tuple(dict.fromkeys((*context.chest_sides, "left", "right")))
    if reader.at_end:
        raise Ask(wanted, offers)
    raise Ask(wanted, (f"{offer} {reader.left_over()}" for offer in offers), reader.here)


def read_needle(reader: Reader, context: EntryContext, word: str) -> Entry:
    side, space, line, gauge = (_side(reader, context, "Left or right side of the chest?"), None, None, None)
    while not reader.at_end:
        number = reader.take_number()
        if number is not None and (reader.take_word("g", "gauge") or number > SPACE_HIGH):
            gauge = number
        elif number is not None:
            space = number
            reader.take_word("space", "ics", "intercostal")
        elif (found := reader.take(CHEST_LINES)) is not None:
            line = found
            reader.take_word("line")
        elif not reader.take_word("chest", "side", "at"):
            break
    if space is None:
        gauges = context.box.needle_gauges or (14,)
        raise Ask("Through which space: 5th or 4th at the axillary lines, 2nd at the mid clavicular line?",
                  (f"5 anterior axillary {gauges[0]}g", "4 anterior axillary", "2 mid clavicular"))  # fmt: skip
    check_range(space, SPACE_LOW, SPACE_HIGH, "intercostal space", "")
    gauge = 14 if gauge is None else gauge
    check_range(gauge, GAUGE_LOW, GAUGE_HIGH, "a needle of gauge", "G")
    action = DecompressChest(
        side=side, space=int(space), line=line or ("mid clavicular" if space <= 3 else "anterior axillary"),
        gauge=int(gauge),
    )  # fmt: skip
    return Entry(action=action, warning=_side_warning(side, context))


def read_chest_tube(reader: Reader, context: EntryContext, word: str) -> Entry:
    side = _side(reader, context, "Left or right side of the chest?")
    return Entry(action=InsertChestTube(side=side), warning=_side_warning(side, context))


def read_seal(reader: Reader, context: EntryContext, word: str) -> Entry:
    side = _side(reader, context, "Left or right side of the chest?")
    vented = not reader.take_word("unvented", "closed")
    reader.take_word("vented")
    return Entry(action=SealChest(side=side, vented=vented), warning=_side_warning(side, context))


def _side_warning(side: Side, context: EntryContext) -> str:
    if context.chest_sides and side not in context.chest_sides:
        return f"The case's chest injury is on the {' and '.join(context.chest_sides)}, not on the {side}."
    return ""


def space_text(space: int) -> str:
    """1st, 2nd, 3rd, 4th ..."""
    return f"{plain(space)}{({1: 'st', 2: 'nd', 3: 'rd'}).get(space, 'th')}"


COMMANDS: Final = (
    Command(
        words=tuple(HOW),
        about="bleeding stopped by hand or tourniquet",
        examples=("tq l thigh", "pack groin", "press neck 50%"),
        read=read_control,
    ),
    Command(
        words=("tq off", "release", "unpack"),
        about="tourniquet or packing taken off",
        examples=("tq off l thigh",),
        read=read_release,
    ),
    Command(
        words=("needle", "decompress"),
        about="needle decompression: side, space, line",
        examples=("needle l 5", "needle r 2 mcl 14g"),
        read=read_needle,
    ),
    Command(
        words=("chest tube", "chest drain"),
        about="tube into a pleural space: side",
        examples=("chest tube l",),
        read=read_chest_tube,
    ),
    Command(
        words=("seal", "chest seal"), about="chest seal: side", examples=("seal l", "seal r unvented"), read=read_seal
    ),
)
