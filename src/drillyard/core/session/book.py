"""The book of a run: what waits to act, what the core has found, and how that fits the log."""

from collections import deque
from dataclasses import dataclass

from drillyard.core.session.events import Event, Happening, Source
from drillyard.core.session.remembered import Derived
from drillyard.core.session.timeline import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """An event that the core asks the shell to log.  All but ``seq`` and wall time is given; log it as it is."""

    step: int
    t_sim_s: float
    source: Source
    client_id: str
    body: Happening
    actor: str = "core"
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mismatch:
    """Where the log and today's computation differ.  ``logged`` or ``found`` is None where one has nothing."""

    t_s: float
    logged: Happening | None
    found: Happening | None

    def sentence(self) -> str:
        """The difference in words."""
        if self.logged is None:
            return f"at {self.t_s:g} s the core finds '{self.found.kind if self.found else ''}', which the log lacks"
        if self.found is None:
            return f"at {self.t_s:g} s the log holds '{self.logged.kind}', which the core does not find"
        return f"at {self.t_s:g} s the log holds another '{self.logged.kind}' than the core finds"


class Book:
    """What a run remembers about its events beside their fold.  ``found`` holds the core's own findings as they now
    stand, by key; ``unlogged`` what was wanted and has not come back; ``withdrawn`` what was wanted and then undone by
    a recomputation before it came back."""

    def __init__(self) -> None:
        self.queue: deque[Entry] = deque()
        self.amendments: deque[Event] = deque()
        self.applied: set[int] = set()
        self.found: dict[str, Derived] = {}
        self.client_ids: dict[str, str] = {}
        self.keys: dict[str, str] = {}
        self.seqs: dict[str, int] = {}
        self.unlogged: dict[str, Wanted] = {}
        self.withdrawn: set[str] = set()
        self.new: list[Wanted] = []
        self.n_recomputed = 0

    def copy(self) -> "Book":
        twin = Book()
        for name, value in self.__dict__.items():
            setattr(twin, name, value if isinstance(value, int) else value.copy())
        return twin
