"""Lines and fluids: "iv 18 r arm", "io l tibia", "crys 250", "red cells 300 via r arm", "line out r arm"."""

from typing import Final, Literal

from drillyard.core.care.actions import Fluid, PlaceLine, RemoveLine, StartFluid, StopFluid
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry, take_site
from drillyard.core.entry.grammar.drugs import read_drug
from drillyard.core.entry.grammar.strengths import PERCENT
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import BONE_PARTS, FLUIDS, OFF, RATE_UNITS, VEIN_PARTS, VOLUME_UNITS
from drillyard.core.formulary.strengths import of_percent, strength_text
from drillyard.core.quantities.faults import Fault, Refusal

GAUGES: Final[dict[Literal["IV", "IO"], tuple[int, ...]]] = {"IV": (14, 16, 17, 18, 20, 22, 24), "IO": (14, 15, 16, 18)}
"""Gauges printed on hubs: veins as in ISO 10555-5:2013 colour table (14 to 24); bone needles from memory."""
DEFAULT_GAUGE: Final[dict[Literal["IV", "IO"], int]] = {"IV": 18, "IO": 15}
SALINE_WORDS: Final = frozenset({"saline", "normal saline", "nacl"})
UNCLEAR_SALINE: Final = frozenset({"nacl"})
STRONG_SALINE: Final = "hypertonic saline"
ISOTONIC_PERCENT: Final = 0.9
"""Sodium chloride as isotonic as plasma: 9 g/L (the pharmacopoeias' "physiological" solution, from memory)."""
USUAL_BOLUS_ML: Final = 2000.0
MOST_BOLUS_ML: Final = 10_000.0


def _place(kind: Literal["IV", "IO"], reader: Reader, context: EntryContext) -> Entry:
    gauge: int | None = None
    site, patent = "", True
    parts = BONE_PARTS if kind == "IO" else VEIN_PARTS
    if reader.take_word(*OFF):
        return _remove(reader, context)
    while not reader.at_end:
        reader.take_word("at", "in", "into", "the")
        if reader.take_word("blocked", "tissued"):
            patent = False
            continue
        number = reader.take_number() if gauge is None else None
        if number is not None:
            reader.take_word("g", "gauge")
            gauge = _gauge(kind, number)
            continue
        if site:
            break
        site = take_site(reader, _where(kind), (), parts, f"place for an {kind} line")
    if not site:
        raise Ask(_where(kind), _line_sites(kind, context))
    warning = "A line is in the log at this place already." if any(site == x.site for x in context.lines or ()) else ""
    return Entry(
        action=PlaceLine(line_kind=kind, site=site, gauge=gauge or DEFAULT_GAUGE[kind], patent=patent), warning=warning
    )


def _gauge(kind: Literal["IV", "IO"], number: float) -> int:
    if number not in GAUGES[kind]:
        raise Refusal(
            Fault(code="no such gauge", said=f"there is no {plain(number)} G {kind} needle", value=plain(number),
                  allowed=", ".join(str(gauge) for gauge in GAUGES[kind]))
        )  # fmt: skip
    return int(number)


def _where(kind: Literal["IV", "IO"]) -> str:
    return (
        "Into which vein: left or right arm, hand, elbow?" if kind == "IV" else "Into which bone: left or right tibia?"
    )


def _line_sites(kind: Literal["IV", "IO"], context: EntryContext) -> tuple[str, ...]:
    taken = {line.site for line in context.lines or ()}
    offers = ("left arm", "right arm", "left hand", "right hand") if kind == "IV" else (
        "left tibia", "right tibia", "left humerus", "right humerus")  # fmt: skip
    return tuple(site for site in offers if site not in taken)


def read_iv(reader: Reader, context: EntryContext, word: str) -> Entry:
    return _place("IV", reader, context)


def read_io(reader: Reader, context: EntryContext, word: str) -> Entry:
    return _place("IO", reader, context)


def _remove(reader: Reader, context: EntryContext) -> Entry:
    placed = [line.site for line in context.lines or ()]
    if reader.at_end and len(placed) == 1:
        return Entry(action=RemoveLine(site=placed[0]))
    site = take_site(reader, "Which line?", placed, VEIN_PARTS | BONE_PARTS, "place of a line")
    warning = "" if context.lines is None or site in placed else f"No line at the {site} is in the log."
    return Entry(action=RemoveLine(site=site), warning=warning)


def read_line_out(reader: Reader, context: EntryContext, word: str) -> Entry:
    return _remove(reader, context)


def read_fluid(reader: Reader, context: EntryContext, word: str) -> Entry:
    """ "crys 250 at 100 ml/min via r arm"; the first word says which fluid."""
    if word in SALINE_WORDS:
        return read_saline(reader, context, word)
    return _fluid(reader, context, word)


def read_saline(reader: Reader, context: EntryContext, word: str, percent: float | None = None) -> Entry:
    """Saline of a strength: 0.9 % is the crystalloid, a stronger one a drug; "nacl" alone could be either."""
    start = reader.index
    if percent is None:
        number = reader.take_number()
        percent = number if number is not None and reader.take_word(*PERCENT) else None
    if percent is not None and abs(percent - ISOTONIC_PERCENT) > 0.05:
        drug = next((row for row in context.drugs if row.name == STRONG_SALINE), None)
        if drug is None:
            said = f"saline of {plain(percent)} % is not in this lab's formulary"
            raise Refusal(Fault(code="unknown drug", said=said, allowed=f"{plain(ISOTONIC_PERCENT)} %"))
        return read_drug(reader, context, drug, "", of_percent(drug.drug, percent))
    if percent is None:
        reader.index = start
        strong = next((row.drug for row in context.drugs if row.name == STRONG_SALINE), None)
        if word in UNCLEAR_SALINE and strong is not None and reader.word() not in OFF:
            here, rest = reader.here, reader.left_over()
            percents = (f"{plain(ISOTONIC_PERCENT)}%", strength_text(strong, 1.0).replace(" ", ""))
            raise Ask(f"Which strength: {' or '.join(percents)}?", (f"{one} {rest}".strip() for one in percents), here)
    return _fluid(reader, context, word)


def _fluid(reader: Reader, context: EntryContext, word: str) -> Entry:
    fluid = FLUIDS[word]
    if word[-1:].isdigit():
        reader.take_word(*PERCENT)  # "albumin 20" and "%"
    if reader.take_word(*OFF):
        return Entry(action=StopFluid(fluid=fluid))
    volume_ml = _volume_ml(reader, fluid)
    rate_ml_per_min, line = 0.0, ""
    while not reader.at_end:
        if reader.take_word("at"):
            rate_ml_per_min = _rate(reader)
        elif reader.take_word("via", "through", "into"):
            line = take_site(
                reader, "Through which line?", [x.site for x in context.lines or ()], VEIN_PARTS | BONE_PARTS,
                "place of a line",
            )  # fmt: skip
        elif not reader.take_word("wide", "open", "bolus", "fast", "iv"):
            break
    warnings = []
    if volume_ml > USUAL_BOLUS_ML:
        warnings.append(f"{plain(volume_ml)} mL at once is more than {plain(USUAL_BOLUS_ML)} mL.")
    if context.lines is not None and not context.lines:
        warnings.append("No line is in the log yet.")
    elif line and not any(line == placed.site for placed in context.lines or ()):
        warnings.append(f"No line at the {line} is in the log yet.")
    if word in SALINE_WORDS:
        warnings.append("The body knows one crystalloid, a balanced one.")
    action = StartFluid(fluid=fluid, volume_ml=volume_ml, rate_ml_per_min=rate_ml_per_min, line=line)
    return Entry(action=action, warning=" ".join(warnings), unusual=volume_ml > USUAL_BOLUS_ML)


def _volume_ml(reader: Reader, fluid: Fluid) -> float:
    at = reader.here
    offers = ("250 mL", "500 mL", "1000 mL") if fluid == "crystalloid" else ("300 mL", "600 mL")
    number = reader.need_number(f"How much {fluid}, in mL?", offers)
    factor = reader.take(VOLUME_UNITS)
    if factor is None and reader.word() in ("unit", "units", "bag", "bags", "mg", "g", "kg", "u"):
        raise Refusal(
            Fault(
                code="wrong unit",
                said=f"'{reader.word()}' is not a volume",
                value=f"{plain(number)} {reader.word()}",
                allowed="mL, L",
                remedy="write the volume printed on the bag, for instance '300 mL'",
            )
        )
    if factor is None and number < 20:
        raise Ask(f"{plain(number)} mL or {plain(number)} L?", (f"{plain(number)} mL", f"{plain(number)} L"), at)
    volume_ml = number * (factor or 1.0)
    check_range(volume_ml, 1.0, MOST_BOLUS_ML, "a volume of", "mL")
    return volume_ml


def _rate(reader: Reader) -> float:
    at = reader.here
    number = reader.need_number("How fast? For instance 100 mL/min.", ("100 ml/min", "500 ml/h"))
    factor = reader.take(RATE_UNITS)
    if factor is None:
        text = plain(number)
        raise Ask(f"{text} mL/min or {text} mL/h?", (f"{text} ml/min", f"{text} ml/h"), at)
    rate = float(f"{number * factor:.12g}")
    check_range(rate, 0.1, 1000.0, "a rate of", "mL/min")
    return rate


COMMANDS: Final = (
    Command(
        words=("iv", "cannula"),
        about="line into a vein",
        examples=("iv 18 r arm", "iv 20 l hand blocked"),
        read=read_iv,
    ),
    Command(words=("io", "bone line"), about="line into a bone", examples=("io l tibia",), read=read_io),
    Command(
        words=("line out", "iv out", "io out", "remove line", "remove iv", "remove io"),
        about="line taken out",
        examples=("line out r arm",),
        read=read_line_out,
    ),
    Command(
        words=tuple(FLUIDS),
        about="fluid through a line",
        examples=("crys 250", "crys 500 at 600 ml/h via r arm", "saline 0.9% 500", "red cells 300", "crys stop"),
        read=read_fluid,
    ),
)
