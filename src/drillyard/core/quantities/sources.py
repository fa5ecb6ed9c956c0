"""How far a source carries a number, told from its words."""

import re
from typing import Final

_STATUS: Final = (
    ("tuned", r"tuned|set so that|set together|fitted"),
    ("our choice", r"our choice|our simplification|chosen|convention"),
    ("follows from others", r"follows from|calibrat|same as"),
    ("from memory", r"from memory"),
    ("common knowledge", r"common|textbook|teaching"),
    ("published", r"\b(?:18|19|20)\d\d\b"),
)
"""The first whose words are found: a number that was tuned after a paper counts as tuned."""

NO_PAPER: Final = "names no paper"


def status_of(source: str) -> str:
    """One of "published", "from memory", "common knowledge", "tuned", "our choice", "follows from others" or
    "names no paper".

    >>> status_of("Klotz 2006, Am J Physiol 291:H403 (from memory)")
    'from memory'
    """
    return next((status for status, words in _STATUS if re.search(words, source, re.IGNORECASE)), NO_PAPER)


def names_a_paper(source: str) -> bool:
    """Whether a source names a publication by its year, read or remembered, and the number was taken from it."""
    return re.search(_STATUS[-1][1], source) is not None and status_of(source) in ("published", "from memory")
