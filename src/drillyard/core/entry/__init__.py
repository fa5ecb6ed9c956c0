"""The entry line: typed shorthand becomes one action, said back in full before it is logged.

In:       what the operator typed, and what is at hand (drug box, findings, lines placed, sides of the problems).
Out:      exactly one action of ``core/care/actions.py`` with its sentence, or one question or fault in plain words.
Assumes:  generic drug names, plain words and the usual short forms of the street and the ward.
Left out: the predicted effect (the look-ahead computes it) and speech.
"""

from drillyard.core.entry.at_hand import Box, DrugAtHand, EntryContext, LineAtHand, box_of, context_for
from drillyard.core.entry.line import parse
from drillyard.core.entry.result import Completion, ParseResult
from drillyard.core.entry.sentences import sentence_of
from drillyard.core.entry.shorthand import shorthand_of

__all__ = [
    "Box",
    "Completion",
    "DrugAtHand",
    "EntryContext",
    "LineAtHand",
    "ParseResult",
    "box_of",
    "context_for",
    "parse",
    "sentence_of",
    "shorthand_of",
]
