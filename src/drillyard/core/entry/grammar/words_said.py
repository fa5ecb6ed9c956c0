"""Words that matter: "order ...", "readback ...", "ask allergies", "weight 78 kg", "report: etco2 24"."""

from typing import Final

from drillyard.core.care.actions import Other, Say
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry
from drillyard.core.entry.reader import Ask, Reader, check_range, plain
from drillyard.core.entry.words import OFF

KG_PER_LB: Final = 0.45359237
"""International avoirdupois pound (NIST SP 811, 2008, appendix B.8)."""
HEAVY_WITHOUT_UNIT_KG: Final = 150.0


def read_order(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="order", text=_text(reader, "What is ordered?")))


def read_readback(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="read-back", text=reader.rest().lstrip(": ")))


def read_callout(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="call-out", text=_text(reader, "What is called out?")))


def read_ask(reader: Reader, context: EntryContext, word: str) -> Entry:
    if word != "ask:" and reader.take_word("allergies", "allergy"):
        return Entry(action=Say(what="asked allergy", text=reader.rest()))
    return Entry(action=Say(what="asked history", text=_text(reader, "What is asked?", ("allergies", "history"))))


def read_weight(reader: Reader, context: EntryContext, word: str) -> Entry:
    at = reader.here
    number = reader.need_number("How many kg?")
    if reader.take_word("lb", "lbs", "pounds"):
        number_kg = float(f"{number * KG_PER_LB:.3g}")
    elif reader.take_word("kg", "kilo", "kilos") or number <= HEAVY_WITHOUT_UNIT_KG:
        number_kg = number
    else:
        raise Ask(f"{plain(number)} kg or {plain(number)} lb?", (f"{plain(number)} kg", f"{plain(number)} lb"), at)
    check_range(number_kg, 0.3, 400.0, "a weight of", "kg")
    return Entry(action=Say(what="stated weight", text=f"{plain(number_kg)} kg"))


def read_leader(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="leader named", text=_text(reader, "Who leads?", context.crew)))


def read_help(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="called for help", text=reader.rest()))


def read_report(reader: Reader, context: EntryContext, word: str) -> Entry:
    if word == "report:":
        return Entry(action=Say(what="report item", text=_text(reader, "What is reported?")))
    if reader.take_word("start", "begin", "starts"):
        return Entry(action=Say(what="report started", text=reader.rest()))
    if reader.take_word(*OFF):
        return Entry(action=Say(what="report ended", text=reader.rest()))
    return Entry(action=Say(what="report item", text=_text(reader, "What is reported?", ("start", "end"))))


def read_handover(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Say(what="handover", text=reader.rest().lstrip(": ")))


def read_other(reader: Reader, context: EntryContext, word: str) -> Entry:
    return Entry(action=Other(text=_text(reader, "What was done?")), not_modelled=True)


def _text(reader: Reader, question: str, offers: tuple[str, ...] = ()) -> str:
    text = reader.rest().lstrip(": ")
    if not text:
        raise Ask(question, offers)
    return text


COMMANDS: Final = (
    Command(
        words=("order", "order:", "orders"),
        about="an order said aloud",
        examples=("order txa 1 g iv",),
        read=read_order,
    ),
    Command(
        words=("readback", "read-back", "read back", "readback:"),
        about="an order read back",
        examples=("readback txa 1 g iv",),
        read=read_readback,
    ),
    Command(
        words=("callout", "call-out", "call out", "callout:"),
        about="a value called out",
        examples=("callout sats 84",),
        read=read_callout,
    ),
    Command(
        words=("ask", "asks", "ask:"),
        about="a question to patient or bystander",
        examples=("ask allergies", "ask when did he take it"),
        read=read_ask,
    ),
    Command(words=("weight", "weighs"), about="weight said in kg", examples=("weight 78",), read=read_weight),
    Command(words=("leader", "leads", "leader:"), about="who leads", examples=("leader anna",), read=read_leader),
    Command(words=("help called", "call help", "help"), about="help called", examples=("help called",), read=read_help),
    Command(
        words=("report", "report:", "reports"),
        about="radio report: start, an item, end",
        examples=("report start", "report: etco2 24", "report end"),
        read=read_report,
    ),
    Command(
        words=("handover", "handover:"),
        about="handover",
        examples=("handover injuries, signs, treatment",),
        read=read_handover,
    ),
    Command(
        words=("other", "other:"),
        about="anything that is not modelled",
        examples=("other wraps him in a blanket",),
        read=read_other,
    ),
)
