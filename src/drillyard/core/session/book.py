"""The book of a run: what waits to act, what the core has found, and how that fits the log."""

from collections import deque
from dataclasses import dataclass

from drillyard.core.session.events import STEPS_PER_S, EntryUndone, Event, Happening, Source
from drillyard.core.session.remembered import Derived
from drillyard.core.session.timeline import DERIVED_PREFIX, Entry


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

    def want(self, derived: Derived, tags: tuple[str, ...] = ()) -> None:
        """The core found something: it is to be logged."""
        client_id = f"{DERIVED_PREFIX}{self.n_recomputed}-{derived.key}"
        self.found[derived.key] = derived
        self.client_ids[derived.key], self.keys[client_id] = client_id, derived.key
        self._ask(
            Wanted(
                step=derived.step,
                t_sim_s=derived.step / STEPS_PER_S,
                source=derived.source,
                client_id=client_id,
                body=derived.body,
                tags=tags,
            )
        )

    def withdraw(self, key: str, step: int) -> None:
        """A recomputation at ``step`` no longer finds this: it is to be taken back in the log, once it is there."""
        client_id = self.client_ids[key]
        if client_id in self.unlogged:
            del self.unlogged[client_id]
            self.withdrawn.add(client_id)
        else:
            self._ask_undo(client_id, step)

    def compare(self, event: Event, step: int) -> Mismatch | None:
        """One of the core's own findings comes back from the log; what does not fit is told."""
        self.seqs[event.client_id] = event.seq
        if event.client_id in self.withdrawn:
            self.withdrawn.discard(event.client_id)
            self._ask_undo(event.client_id, step)
            return None
        wanted = self.unlogged.pop(event.client_id, None)
        if wanted is not None and wanted.body == event.body and wanted.step == event.step:
            return None
        return Mismatch(t_s=event.t_sim_s, logged=event.body, found=wanted.body if wanted is not None else None)

    def _ask_undo(self, client_id: str, step: int) -> None:
        undone = EntryUndone(
            target_seq=self.seqs[client_id], effect="record only", reason="not so in the recomputed course"
        )
        self._ask(
            Wanted(
                step=step,
                t_sim_s=step / STEPS_PER_S,
                source="clock",
                client_id=f"{DERIVED_PREFIX}undo-{client_id}",
                body=undone,
                tags=("recomputed",),
            )
        )

    def _ask(self, wanted: Wanted) -> None:
        self.unlogged[wanted.client_id] = wanted
        self.new.append(wanted)
