"""Who has met which case."""

from collections.abc import Iterable, Mapping, Sequence


def met_cases(exposures: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    """Scenarios met by each person, from pairs (person id, scenario)."""
    met: dict[str, set[str]] = {}
    for person_id, scenario in exposures:
        met.setdefault(person_id, set()).add(scenario)
    return met


def unseen_by_all(scenarios: Sequence[str], crew: Iterable[str], met: Mapping[str, set[str]]) -> list[str]:
    """The scenarios that nobody of the crew has met, in the given order."""
    seen = set().union(*(met.get(person_id, set()) for person_id in crew))
    return [scenario for scenario in scenarios if scenario not in seen]
