"""``parse``: one typed line to exactly one action, or one question, or one fault."""

import re
from dataclasses import replace
from difflib import SequenceMatcher
from typing import Final

from drillyard.core.care.actions import Action, Other
from drillyard.core.entry.at_hand import DrugAtHand, EntryContext
from drillyard.core.entry.commands import commands
from drillyard.core.entry.grammar.common import Entry, finish
from drillyard.core.entry.grammar.drugs import names_of, read_drug
from drillyard.core.entry.grammar.lines_fluids import SALINE_WORDS, read_saline
from drillyard.core.entry.grammar.sensors_looks import findings_by_word, read_finding
from drillyard.core.entry.grammar.strengths import PERCENT
from drillyard.core.entry.late import split_late
from drillyard.core.entry.reader import Ask, Reader
from drillyard.core.entry.result import Completion, ParseResult
from drillyard.core.entry.sentences import clock_text, said_of
from drillyard.core.entry.suggest import suggestions
from drillyard.core.entry.words import DOSE_UNITS, DOSE_UNITS_PER_KG, FLUIDS, NOT_DOSE_UNITS, ROUTES
from drillyard.core.formulary.strengths import of_percent
from drillyard.core.manikin.limits import is_forbidden, limit_warnings
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches

UNDO: Final = ("undo", "take back")
_DOSE_LIKE: Final = re.compile(r"^(\S+(?: \S+)?)\s+[-+]?[\d.,]+\s*(\S+)")
SLIP_OF_THE_FINGER: Final = 0.8
"""A first word this like a known one is asked about rather than kept as free text (our choice)."""
MOST_CHARACTERS: Final = 500


def parse(text: str, context: EntryContext, confirmed: bool = False) -> ParseResult:
    """Reads one line.

    Args:
        text: what was typed.
        context: what is at hand.
        confirmed: the operator has already seen the warning of an unusual dose, or of something that this manikin
            forbids, and pressed Enter again.

    Returns:
        The result; it never raises for anything that can be typed.
    """
    if not text.strip():
        return ParseResult(completions=suggestions(text, context))
    if len(text) > MOST_CHARACTERS:
        fault = Fault(
            code="too long", said=f"the line has {len(text)} characters", allowed=f"at most {MOST_CHARACTERS}"
        )
        return ParseResult(fault=fault)
    late_t_s: float | None = None
    line = text
    try:
        late_t_s, line = split_late(text, context)
        if late_t_s is not None and not line.strip():
            raise Ask("What was done then?")
        if line.strip().lower() in UNDO:
            return _undo(late_t_s)
        entry = _entry(line, context if late_t_s is None else replace(context, now_s=late_t_s))
    except Ask as ask:
        return _asked(text, line, ask, context, late_t_s)
    except Refusal as refusal:
        return _with_ghost(
            ParseResult(fault=refusal.faults[0], late_t_s=late_t_s, completions=suggestions(text, context)), text
        )
    return _with_ghost(_understood(entry, context, confirmed, late_t_s, text), text)


def _undo(late_t_s: float | None) -> ParseResult:
    if late_t_s is not None:
        raise Refusal(Fault(code="no time", said="undo takes back the newest entry and has no time of its own"))
    return ParseResult(undo=True, sentence="Take back the newest entry", emphasis=("Take back",))


def _entry(line: str, context: EntryContext) -> Entry:
    reader = Reader(line)
    reader.take_word("give", "gave", "given", "start")
    table = commands()
    drugs = names_of(context)
    strong = _strength_first(reader, context, drugs)
    if strong is not None:
        return finish(reader, strong)
    found = reader.peek(table)
    drug = reader.peek(drugs)
    if drug and (not found or len(drug[0]) >= len(found[0])):
        reader.take(drugs)
        return finish(reader, read_drug(reader, context, drug[1], drug[0]))
    findings = findings_by_word()
    finding = reader.peek(findings)
    if found and (not finding or len(found[0]) >= len(finding[0])):
        reader.take(table)
        return finish(reader, found[1].read(reader, context, found[0]))
    if finding:
        reader.take(findings)
        return finish(reader, read_finding(reader, finding[1]))
    return _unknown(line, reader, context, [*table, *drugs, *findings, *UNDO])


def _strength_first(reader: Reader, context: EntryContext, drugs: dict[str, DrugAtHand]) -> Entry | None:
    """ "10% dextrose 250 ml", "3% saline 250 ml", "0.9% saline 500": a strength, then what it is of."""
    start = reader.index
    percent = reader.take_number() if reader.word()[:1].isdigit() else None
    if percent is None or not reader.take_word(*PERCENT):
        reader.index = start
        return None
    drug = reader.peek(drugs)
    if drug is not None:
        reader.take(drugs)
        return read_drug(reader, context, drug[1], drug[0], of_percent(drug[1].drug, percent))
    fluid = reader.peek(FLUIDS)
    if fluid is not None and fluid[0] in SALINE_WORDS:
        reader.take(FLUIDS)
        return read_saline(reader, context, fluid[0], percent)
    reader.index = start
    return None


def _unknown(line: str, reader: Reader, context: EntryContext, known: list[str]) -> Entry:
    """A line whose first words nothing knows: an unknown drug, a slip of the finger, a word begun, or free text."""
    plain_line = line.strip()
    dose_like = _DOSE_LIKE.match(plain_line.lower())
    if dose_like and dose_like[2].rstrip(",") in {*DOSE_UNITS, *DOSE_UNITS_PER_KG, *ROUTES, *NOT_DOSE_UNITS}:
        name = dose_like[1]
        raise Refusal(
            Fault(
                code="unknown drug",
                said=f"'{name}' is not a drug in this lab's formulary",
                value=name,
                near=near_matches(name, names_of(context)),
                allowed=", ".join(drug.name for drug in context.drugs),
                remedy="drugs are entered by generic name; to keep it as text only, write 'other' and your words",
            )
        )
    if len(reader.tokens) == 1 and suggestions(line, context):
        raise Ask("Go on typing.")
    first = reader.word()
    near = near_matches(first, [word for word in known if 2 * len(word) <= 3 * len(first) <= 4.5 * len(word)])
    if near and SequenceMatcher(None, reader.word(), near[0]).ratio() >= SLIP_OF_THE_FINGER:
        raise Refusal(
            Fault(
                code="unknown word",
                said=f"'{reader.word()}' is not known at the start of a line",
                value=reader.word(),
                near=near,
                remedy="to keep the line as text only, write 'other' before it",
            )
        )
    return Entry(action=Other(text=plain_line), not_modelled=True)


def _understood(entry: Entry, context: EntryContext, confirmed: bool, late_t_s: float | None, text: str) -> ParseResult:
    action: Action = entry.action
    if entry.unusual and confirmed and entry.confirmed is not None:
        action = entry.confirmed
    sentence, emphasis = said_of(action)
    if late_t_s is not None:
        sentence = f"At {clock_text(late_t_s)}, entered late: {sentence}"
        emphasis = (clock_text(late_t_s), *emphasis)
    warned, is_barred = _of_this_manikin(action, context, late_t_s)
    return ParseResult(
        action=action,
        sentence=sentence,
        emphasis=emphasis,
        reckoned=entry.reckoned,
        warning=f"{entry.warning} {warned}".strip(),
        warned=warned,
        needs_confirmation=(entry.unusual or is_barred) and not confirmed,
        not_modelled=entry.not_modelled,
        late_t_s=late_t_s,
        completions=suggestions(text, context),
    )


def _of_this_manikin(action: Action, context: EntryContext, late_t_s: float | None) -> tuple[str, bool]:
    """What of doing this to today's manikin is too much, and whether it is forbidden altogether."""
    if context.profile is None:
        return "", False
    t_s = context.now_s if late_t_s is None else late_t_s
    earlier = [(done_s, done) for done_s, done in context.done if done_s <= t_s]
    said = limit_warnings(action, t_s, context.profile, earlier)
    return " ".join(said), is_forbidden(action, context.profile)


def _asked(text: str, line: str, ask: Ask, context: EntryContext, late_t_s: float | None) -> ParseResult:
    offset = len(text) - len(line)
    head = text[: offset + ask.at] if ask.at is not None else text.rstrip() + " "
    options = tuple(Completion(insert=f"{head}{option}", label=option) for option in ask.options)
    known = {option.insert for option in options}
    more = tuple(row for row in suggestions(text, context) if row.insert not in known)
    return _with_ghost(ParseResult(question=ask.question, completions=options + more, late_t_s=late_t_s), text)


def _with_ghost(result: ParseResult, text: str) -> ParseResult:
    """The first completion that continues what is typed, as far as it is not typed yet."""
    if result.is_complete:
        return result
    for row in result.completions:
        if len(row.insert) > len(text) and row.insert.lower().startswith(text.lower()):
            return replace(result, ghost=row.insert[len(text) :])
        if row.insert.lower().startswith(text.rstrip().lower()) and len(row.insert) > len(text):
            return replace(result, ghost=row.insert[len(text) :])
    return result
