"""The formulary: every drug of the lab by name and synonym, with near matches for a misspelt one."""

import difflib
import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict

from drillyard.core.formulary.model import Drug
from drillyard.core.quantities.faults import Fault, Refusal


class Formulary:
    """Drugs by name and by synonym, whatever the letter case.  Iterating gives each drug's own name once."""

    def __init__(self, drugs: Iterable[Drug]) -> None:
        self._drugs = {drug.name: drug for drug in drugs}
        self._by_word: dict[str, Drug] = {}
        self._digest = ""
        faults = []
        for drug in self._drugs.values():
            for word in (drug.name, *drug.synonyms):
                other = self._by_word.setdefault(_key(word), drug)
                if other is not drug:
                    said = f"'{word}' names both {other.name} and {drug.name}"
                    faults.append(Fault(code="name used twice", said=said, remedy="take it out of one of the two"))
        if faults:
            raise Refusal(*faults)

    def __contains__(self, word: object) -> bool:
        return isinstance(word, str) and _key(word) in self._by_word

    def __iter__(self) -> Iterator[str]:
        return iter(self._drugs)

    def __len__(self) -> int:
        return len(self._drugs)

    def words(self) -> tuple[str, ...]:
        """Every name and synonym as written, for completion."""
        return tuple(word for drug in self._drugs.values() for word in (drug.name, *drug.synonyms))

    def digest(self) -> str:
        """A hash of every number and word: two formularies with one digest make the same body."""
        if not self._digest:
            text = json.dumps([asdict(drug) for _, drug in sorted(self._drugs.items())], sort_keys=True)
            self._digest = hashlib.sha256(text.encode()).hexdigest()[:16]
        return self._digest

    def get(self, word: str) -> Drug:
        """The drug of that name.

        Raises:
            Refusal: no such drug here; the fault offers near matches and the whole list.
        """
        found = self._by_word.get(_key(word))
        if found is not None:
            return found
        near = difflib.get_close_matches(_key(word), self._by_word, n=3, cutoff=0.6)
        raise Refusal(
            Fault(
                code="unknown drug",
                said=f"no drug is called '{word}'",
                value=word,
                allowed=", ".join(self._drugs),
                near=tuple(near),
                remedy="enter it as 'other' if it was given but need not act",
            )
        )


def _key(word: str) -> str:
    return " ".join(word.casefold().split())
