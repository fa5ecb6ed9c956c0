"""Completions from what is at hand: whole lines that begin as the typed one does, most useful first."""

from collections.abc import Iterator

from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.commands import commands
from drillyard.core.entry.grammar.dose_texts import dose_offers
from drillyard.core.entry.reader import plain
from drillyard.core.entry.result import Completion
from drillyard.core.entry.words import SENSOR_WORD
from drillyard.core.signals.findings import FINDINGS

MOST_OFFERED = 8
_ALWAYS: tuple[tuple[str, str], ...] = (
    ("survey airway", "primary survey: airway done"),
    ("survey breathing", "primary survey: breathing done"),
    ("survey circulation", "primary survey: circulation done"),
    ("survey mind", "primary survey: mind done"),
    ("survey exposure", "primary survey: exposure done"),
    ("survey bleeding", "primary survey: catastrophic bleeding done"),
    ("jaw thrust", "airway held open by jaw thrust"),
    ("head tilt", "airway held open by head tilt"),
    ("suction", "airway cleared by suction"),
    ("cpr", "chest compressions 110/min, 5.5 cm"),
    ("shock 200", "shock 200 J"),
    ("legs up", "patient flat with legs raised"),
    ("recovery", "patient in the recovery position"),
    ("crys 250", "start crystalloid 250 mL"),
    ("red cells 300", "start red cells 300 mL"),
    ("ask allergies", "asked about allergies"),
    ("report start", "radio report begins"),
    ("report end", "radio report ends"),
    ("undo", "take back the newest entry"),
)


def suggestions(text: str, context: EntryContext) -> tuple[Completion, ...]:
    """Lines that go on from ``text``.  With nothing typed: what the case and the patient's state make likely."""
    stem, typed = _split_time(text)
    begun = typed.lower().lstrip()
    rows: dict[str, Completion] = {}
    for line, label in _lines(context, begun):
        fits = line.lower().startswith(begun) and line.lower() != begun.strip()
        if fits and line not in rows:
            rows[line] = Completion(insert=stem + line, label=label)
        if len(rows) >= MOST_OFFERED:
            break
    return tuple(rows.values())


def _split_time(text: str) -> tuple[str, str]:
    """A late entry's time is kept in front of what is offered."""
    stripped = text.lstrip()
    if not stripped.startswith("@"):
        return "", text
    time, space, rest = stripped.partition(" ")
    return (f"{time} ", rest) if space else (stripped, " never")


def _lines(context: EntryContext, begun: str) -> Iterator[tuple[str, str]]:
    """Every likely line with its meaning: first what the state asks for, then what the box holds, then the rest, and
    once a drug's name is begun, at last what the formulary knows beside the box."""
    yield from _for_the_state(context)
    yield from _sensors(context)
    for drug in context.drugs:
        if drug.labels_per_ml:
            yield from _doses(drug, begun)
    for gauge in context.box.line_gauges or (18,):
        for side in ("left", "right"):
            yield f"iv {gauge} {side} arm", f"IV line, {gauge} G, {side} arm"
    for side in ("left", "right"):
        yield f"io {side} tibia", f"IO line, {side} tibia"
    yield from _devices(context)
    yield from _ALWAYS
    for finding in FINDINGS.values():
        for word in (finding.id, *finding.typed):
            yield word, f"examine {finding.id}"
    for word, command in commands().items():
        yield word, command.about
    if begun:
        for drug in context.drugs:
            if not drug.labels_per_ml and drug.drug.given_as == "drug":
                yield from _doses(drug, begun, " (not in the drug box)")


def _devices(context: EntryContext) -> Iterator[tuple[str, str]]:
    box = context.box
    for sizes, word in ((box.pharyngeal_sizes, "opa"), (box.supraglottic_sizes, "sga"), (box.tube_sizes, "tube")):
        for size in sizes:
            yield f"{word} {plain(size)}", f"size {plain(size)} from the bag"


def _for_the_state(context: EntryContext) -> Iterator[tuple[str, str]]:
    for site in context.bleeding_sites:
        if site not in context.controlled_sites:
            if site.endswith(("thigh", "arm", "leg")):
                yield f"tq {site}", f"tourniquet, {site}"
                yield f"tourniquet {site}", f"tourniquet, {site}"
            yield f"pack {site}", f"packing, {site}"
            yield f"press {site}", f"direct pressure, {site}"
    for side in context.chest_sides:
        yield f"needle {side} 5", f"decompress the {side} chest, 5th space"
        yield f"seal {side}", f"vented chest seal, {side} side"
    if context.is_compressing:
        yield "cpr stop", "chest compressions stopped"
    if context.is_bagging:
        yield "bag stop", "breaths by bag stopped"
    else:
        yield "bag 10", "breaths by bag, 10 a minute"
    if context.oxygen_on:
        yield "o2 off", "oxygen off"
    else:
        yield "o2 15 reservoir", "oxygen 15 L/min by reservoir mask"
        yield "oxygen 15 reservoir", "oxygen 15 L/min by reservoir mask"
    if context.airway_in:
        yield "airway out", "airway device taken out"


def _sensors(context: EntryContext) -> Iterator[tuple[str, str]]:
    for sensor, word in SENSOR_WORD.items():
        if sensor not in context.sensors_on:
            yield f"{word} on", f"{sensor} on"
    yield "cuff", "measure pressure by cuff"
    yield "cuff auto 3 min", "cuff cycles by itself every 3 min"
    for sensor in context.sensors_on:
        yield f"{SENSOR_WORD[sensor]} off", f"{sensor} off"


def _doses(drug: DrugAtHand, begun: str, beside: str = "") -> Iterator[tuple[str, str]]:
    """Published doses after each name of a drug that may stand at the start of ``begun``: no others are made up."""
    for word in drug.words:
        name = word.lower()
        if name.startswith(begun) or begun.startswith(name):
            for offer in dose_offers(drug):
                yield f"{word} {offer}", f"{drug.name} {offer}{beside}"
