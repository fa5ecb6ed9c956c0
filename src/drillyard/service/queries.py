"""Questions about runs that are stored: the debrief reads tracks and log, a what-if plays the run again.

All functions read the store and may take some hundred milliseconds: call them in a worker thread.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from drillyard.core.care.actions import Action
from drillyard.core.entry import parse
from drillyard.core.measures import MeasureResult, compute
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.at_hand import entry_context
from drillyard.core.session.events import Event
from drillyard.core.session.fold import Fold
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.state import RunState
from drillyard.core.session.what_if import Add, Change, Move, Remove, WhatIf, what_if
from drillyard.service.case import Case, stored_case
from drillyard.service.desk import Unclear
from drillyard.service.lab import Lab
from drillyard.service.records import DebriefNote, RunRecord, StoredTracks


class StoredColumns:
    """Stored tracks in the form that measures read."""

    def __init__(self, stored: StoredTracks) -> None:
        self._stored = stored

    def __len__(self) -> int:
        return len(self._stored.block.true)

    def column(self, name: str) -> NDArray[np.float64]:
        """True values of one signal, a value a second."""
        return self._stored.block.true[:, self._stored.block.names.index(name)].astype(np.float64)

    def shown_column(self, name: str) -> NDArray[np.float64]:
        """Shown values of one signal, NaN where none was shown."""
        return self._stored.block.shown[:, self._stored.block.names.index(name)].astype(np.float64)


@dataclass(frozen=True)
class StoredRun:
    """All that is kept of one run."""

    record: RunRecord
    case: Case
    events: tuple[Event, ...]
    tracks: StoredTracks
    notes: tuple[DebriefNote, ...]

    @cached_property
    def state(self) -> RunState:
        """The fold of the whole log."""
        return self.state_at(None)

    def state_at(self, t_s: float | None) -> RunState:
        """The fold of what had been logged by ``t_s``."""
        fold = Fold(self.case.scenario.problems)
        for event in self.events:
            if t_s is None or event.t_sim_s <= t_s:
                fold.add(event)
        return fold.state

    @property
    def end_s(self) -> float:
        """Where the run ended, or how far it has come."""
        ended = self.state.ended_t_s
        last_s = max((event.t_sim_s for event in self.events), default=0.0)
        return ended if ended is not None else max(last_s, len(self.tracks.block.true) - 1.0)

    def measures(self) -> list[MeasureResult]:
        """The measures of the run, from what was stored."""
        return compute(self.events, StoredColumns(self.tracks), self.case.scenario, self.case.formulary)


def stored_run(lab: Lab, run_id: str) -> StoredRun:
    """One run from the store.

    Raises:
        Refusal: no such run, or copies that this version cannot read.
    """
    record = lab.store.runs.get(run_id)
    if record is None:
        raise Refusal(Fault(code="unknown run", said=f"there is no run '{run_id}'", remedy="choose one from home"))
    tracks = lab.store.tracks.read(run_id)
    if tracks is None:
        said, remedy = "nothing of this run has been stored yet", "wait some seconds"
        raise Refusal(Fault(code="nothing stored", said=said, remedy=remedy))
    return StoredRun(
        record=record,
        case=stored_case(lab.files, record, lab.store.runs.files(run_id)),
        events=tuple(lab.store.events.events(run_id)),
        tracks=tracks,
        notes=tuple(lab.store.notes.notes(run_id)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One change to a run, as somebody asks for it.  ``typed`` is an entry as on the entry line."""

    do: Literal["remove", "move", "add", "replace"]
    seq: int = 0
    t_s: float = 0.0
    typed: str = ""


def asked_what_if(lab: Lab, stored: StoredRun, wish: Wish) -> tuple[WhatIf, str]:
    """Both courses of the run, and what was changed in words.

    Raises:
        Refusal: the body is not loaded, no such entry, a line that cannot be read, a time outside the run.
    """
    if lab.kernel is None:
        raise Refusal(Fault(code="body not ready", said="the computed patient is still being loaded"))
    setup = _setup(lab, stored)
    lines = {line.seq: line.text for line in stored.state.log}
    known = lines.get(wish.seq, f"entry {wish.seq}")
    match wish.do:
        case "remove":
            done = what_if(setup, stored.events, Remove(seq=wish.seq), _true(stored))
            return done, f"without: {known}"
        case "move":
            done = what_if(setup, stored.events, Move(seq=wish.seq, t_s=wish.t_s), _true(stored))
            return done, f"{known}, at {_clock(wish.t_s)}"
        case "add":
            action, text = _read(stored, wish.typed, wish.t_s)
            add = Add(action=action, text=text, t_s=wish.t_s)
            return what_if(setup, stored.events, add, _true(stored)), f"with: {text}, at {_clock(wish.t_s)}"
        case "replace":
            at_s = next((line.t_s for line in stored.state.log if line.seq == wish.seq), 0.0)
            action, text = _read(stored, wish.typed, at_s)
            change = Change(seq=wish.seq, action=action, text=text)
            return what_if(setup, stored.events, change, _true(stored)), f"{text} instead of: {known}"


def _setup(lab: Lab, stored: StoredRun) -> RunSetup:
    if lab.kernel is None:
        raise Refusal(Fault(code="body not ready", said="the computed patient is still being loaded"))
    record = stored.record
    return stored.case.setup(record.run_id, record.seed, lab.kernel, lab.preroll, is_live=False)


def _true(stored: StoredRun) -> NDArray[np.floating]:
    return stored.tracks.block.true


def _read(stored: StoredRun, typed: str, t_s: float) -> tuple[Action, str]:
    """One line, read as it would have been at ``t_s``."""
    context = replace(entry_context(stored.case.at_hand, stored.state_at(t_s), t_s), now_s=t_s)
    result = parse(typed, context, confirmed=True)
    suggestions = [completion.insert for completion in result.completions[:5]]
    if result.fault is not None:
        raise Unclear(result.fault, suggestions)
    if result.question or result.action is None:
        said = result.question or "this line gives nothing that could have been done"
        raise Unclear(Fault(code="question", said=said), suggestions)
    if result.not_modelled:
        said = f"'{typed}' is nothing that the body models, so it would change nothing"
        raise Unclear(Fault(code="not modelled", said=said, remedy="enter care that the body answers to"), suggestions)
    return result.action, result.sentence


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"


def met_names(lab: Lab) -> dict[str, list[str]]:
    """For each scenario the names of the people who have met it."""
    names = {person.person_id: person.name for person in lab.store.people.people(include_inactive=True)}
    met: dict[str, list[str]] = {}
    for exposure in lab.store.people.exposures():
        name = names.get(exposure.person_id, exposure.person_id)
        if name not in met.setdefault(exposure.scenario, []):
            met[exposure.scenario].append(name)
    return met


def rhythm_spans(stored: StoredRun) -> Sequence[tuple[float, int]]:
    """When the rhythm changed, and to what."""
    return [(change.t_s, change.rhythm_code) for change in stored.tracks.rhythm]
