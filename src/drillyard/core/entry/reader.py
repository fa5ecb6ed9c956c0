"""A reader over one typed line: words, phrases, numbers and units from left to right.

Functions of the grammar take what they know and either get it, or raise ``Ask`` (something is missing or open) or
``Refusal`` (something cannot be used).  Text is compared in lower case; what is kept as text keeps its case.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, TypeVar

from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches

T = TypeVar("T")

_WORD: Final = re.compile(r"\S+")
_NUMBER: Final = re.compile(r"^[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[-+]?\d+)?(?=$|[%/a-zµμ])", re.IGNORECASE)
_DECIMAL_COMMA: Final = re.compile(r"^[-+]?\d+,\d+$")
_ORDINAL: Final = frozenset({"st", "nd", "rd", "th"})
LONGEST_PHRASE: Final = 4
"""No phrase of the grammar has more words than this."""


class Ask(Exception):
    """Something is missing or could be read in two ways: a question, and words that would answer it.

    ``options`` are put in place of the line's text from ``at`` on (``None``: after its end).
    """

    def __init__(self, question: str, options: Iterable[str] = (), at: int | None = None) -> None:
        super().__init__(question)
        self.question = question
        self.options = tuple(options)
        self.at = at


@dataclass(frozen=True, slots=True)
class Token:
    text: str
    start: int
    end: int


def tokens_of(line: str) -> list[Token]:
    """The words of a line; a number is parted from what is glued to its end ("0.3mg", "110/min", "50%")."""
    tokens: list[Token] = []
    for match in _WORD.finditer(line):
        word, start = match[0].rstrip(",;"), match.start()
        number = _NUMBER.match(word)
        if number and number.end() < len(word):
            tokens.append(Token(number[0].lower(), start, start + number.end()))
            tail = word[number.end() :].lower()
            if tail not in _ORDINAL:
                tokens.append(Token(tail, start + number.end(), start + len(word)))
        elif word:
            tokens.append(Token(word.lower(), start, start + len(word)))
    return tokens


class Reader:
    """The line and how far it has been read."""

    def __init__(self, line: str) -> None:
        self.line = line
        self.tokens = tokens_of(line)
        self.index = 0

    @property
    def at_end(self) -> bool:
        return self.index >= len(self.tokens)

    @property
    def here(self) -> int:
        """The offset in the line at which the next word begins, or the end of the line."""
        return self.tokens[self.index].start if not self.at_end else len(self.line)

    def word(self) -> str:
        """The next word without taking it; empty at the end."""
        return self.tokens[self.index].text if not self.at_end else ""

    def rest(self) -> str:
        """The rest of the line as it was typed; everything is taken."""
        text = self.line[self.here :].strip()
        self.index = len(self.tokens)
        return text

    def left_over(self) -> str:
        return self.line[self.here :].strip()

    def take_word(self, *words: str) -> bool:
        """Takes the next word if it is one of ``words``."""
        if not self.at_end and self.word() in words:
            self.index += 1
            return True
        return False

    def peek(self, table: Mapping[str, T]) -> tuple[str, T] | None:
        """The longest phrase of ``table`` that stands here, and what it means, without taking it."""
        for length in range(min(LONGEST_PHRASE, len(self.tokens) - self.index), 0, -1):
            phrase = " ".join(token.text for token in self.tokens[self.index : self.index + length])
            if phrase in table:
                return phrase, table[phrase]
        return None

    def take(self, table: Mapping[str, T]) -> T | None:
        """Takes the longest phrase of ``table`` that stands here."""
        found = self.peek(table)
        if found is None:
            return None
        self.index += len(found[0].split(" "))
        return found[1]

    def need(self, table: Mapping[str, T], what: str, question: str, *, options: Iterable[str] = ()) -> T:
        """Takes a phrase of ``table``; asks ``question`` where there is none yet, refuses a word it does not know."""
        found = self.take(table)
        if found is not None:
            return found
        offered = tuple(options) or tuple(table)
        if self.at_end:
            raise Ask(question, offered)
        begun = self.left_over().lower()
        fitting = tuple(word for word in (*offered, *table) if word.startswith(begun))
        if fitting:
            raise Ask(question, dict.fromkeys(fitting), self.here)
        raise Refusal(
            Fault(
                code=f"unknown {what}",
                said=f"'{self.left_over()}' is no {what} that is known here",
                value=self.left_over(),
                near=near_matches(self.word(), table),
                allowed=", ".join(offered[:8]),
            )
        )

    def take_number(self) -> float | None:
        """Takes a number.  A decimal comma is asked about: 1,000 could be a thousand or one."""
        word = self.word()
        if _DECIMAL_COMMA.match(word):
            token = self.tokens[self.index]
            tail = self.line[token.end :]
            point, joined = word.replace(",", ".", 1), word.replace(",", "")
            raise Ask(
                f"Is {word} meant as {point} or as {joined}? Write decimals with a point.",
                (point + tail, joined + tail),
                self.here,
            )
        match = _NUMBER.match(word)
        if match is None or match.end() != len(word):
            return None
        self.index += 1
        return float(word)

    def need_number(self, question: str, options: Iterable[str] = ()) -> float:
        number = self.take_number()
        if number is not None:
            return number
        if self.at_end:
            raise Ask(question, options)
        raise Refusal(
            Fault(code="not a number", said=f"'{self.word()}' stands where a number is needed", value=self.word(),
                  remedy=question)
        )  # fmt: skip


def check_range(value: float, low: float, high: float, what: str, unit: str) -> None:
    """Refuses a value that cannot be, naming the range."""
    if not low <= value <= high:
        spaced = f" {unit}" if unit and not unit.startswith(("/", "%")) else unit
        raise Refusal(
            Fault(
                code="out of range",
                said=f"{what} {plain(value)}{spaced} cannot be",
                value=plain(value),
                allowed=f"{plain(low)} to {plain(high)}{spaced}",
                remedy="correct the number, or write 'other' and your words to keep it as text",
            )
        )


def plain(number: float) -> str:
    """A number as people write it: no trailing zeros, no exponent where it can be avoided, exact when read back."""
    if number == int(number) and abs(number) < 1e15:
        return str(int(number))
    for digits in (12, 15, 17):
        text = f"{number:.{digits}g}"
        if float(text) == number:
            return text
    return repr(number)
