"""Near matches of a misspelt word, for faults."""

from collections.abc import Iterable
from difflib import get_close_matches


def near_matches(word: str, choices: Iterable[str], n: int = 3) -> tuple[str, ...]:
    """Up to ``n`` of ``choices`` that look like ``word``, the closest first.

    A choice that merely begins with the word counts too (``spo2`` for ``spo2_pct``), after the look-alikes.
    """
    by_fold = {choice.casefold(): choice for choice in choices}
    folded = word.casefold().strip()
    close = [by_fold[found] for found in get_close_matches(folded, by_fold, n=n, cutoff=0.6)]
    begins = [choice for fold, choice in by_fold.items() if len(folded) >= 3 and fold.startswith(folded)]
    return tuple(dict.fromkeys(close + begins))[:n]
