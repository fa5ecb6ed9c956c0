"""The same dose again: "repeat", "repeat epi"."""

from typing import Final

from drillyard.core.care.actions import GiveDrug
from drillyard.core.entry.at_hand import EntryContext
from drillyard.core.entry.grammar.common import Command, Entry
from drillyard.core.entry.grammar.drugs import entry_of, names_of
from drillyard.core.entry.grammar.reckoning import Said
from drillyard.core.entry.reader import Ask, Reader, plain
from drillyard.core.quantities.faults import Fault, Refusal


def read_repeat(reader: Reader, context: EntryContext, word: str) -> Entry:
    """The newest dose of the drug named, or of any drug, given once more by the same route and at the same place."""
    given = [(t_s, action) for t_s, action in context.done if isinstance(action, GiveDrug) and t_s <= context.now_s]
    if reader.take_word("dose", "last"):
        reader.take_word("dose")
    names = names_of(context)
    named = reader.take(names)
    if named is None and not reader.at_end:
        begun = reader.left_over().lower()
        fitting = [action.drug for _, action in reversed(given) if action.drug.startswith(begun)]
        if fitting:
            raise Ask("Which dose again?", dict.fromkeys(fitting), reader.here)
        raise Refusal(
            Fault(code="word not understood", said=f"'{reader.left_over()}' is no drug that was given in this run",
                  allowed=", ".join(dict.fromkeys(action.drug for _, action in given)))
        )  # fmt: skip
    if named is not None:
        given = [row for row in given if row[1].drug == named.name]
    if not given:
        what = named.name if named is not None else "a drug"
        raise Refusal(Fault(code="nothing to repeat", said=f"no dose of {what} is in the log yet"))
    t_s, last = max(given, key=lambda row: row[0])
    drug = names.get(last.drug.lower())
    if drug is None:
        raise Refusal(Fault(code="unknown drug", said=f"'{last.drug}' is not a drug in this lab's formulary"))
    said = Said(number=last.dose, unit=last.dose_unit, route=last.route, site=last.site, over_s=last.over_s)
    minutes, seconds = divmod(round(abs(t_s)), 60)
    when = f"{'-' if t_s < 0 else ''}{plain(minutes)}:{seconds:02d}"
    return entry_of(context, drug, said, reckoned=f"again, as at {when}")


COMMANDS: Final = (
    Command(
        words=("repeat", "same again"),
        about="the last dose of a drug, or of the drug named, given again",
        examples=("repeat", "repeat epi"),
        read=read_repeat,
    ),
)
