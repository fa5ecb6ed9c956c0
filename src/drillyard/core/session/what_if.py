"""What-if: the same run with one entry added, moved, changed or removed.

Two machines play the log from time zero: one as it stands, one with the change.  What the core finds out by itself
(rules, cuff readings, the end) is found anew in both, and findings that the crew obtained by hand are read anew from
the changed patient.  Crew decisions stay what they were: a what-if shows the patient's answer, not another crew.

An old run keeps its stored tracks; ``departures`` says how far today's body is from the one that ran.
"""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from drillyard.core.care.actions import Action
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.session.events import STEPS_PER_S, STEPS_PER_TICK, CareGiven, Event, FindingObtained
from drillyard.core.session.machine import Machine, Outcome
from drillyard.core.session.remembered import Derived
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.timeline import (
    DERIVED_PREFIX,
    REACHES_CORE,
    Entry,
    body_timeline,
    is_derived,
    record_timeline,
    tick_of,
)
from drillyard.core.session.tracks import Tracks
from drillyard.core.signals.findings import FINDINGS


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """One more thing done, at ``t_s``."""

    action: Action
    text: str
    t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Entry ``seq`` done at ``t_s`` instead."""

    seq: int
    t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Another action in place of entry ``seq``, at the same time."""

    seq: int
    action: Action
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Remove:
    """Entry ``seq`` not done."""

    seq: int


Alteration = Add | Move | Change | Remove


@dataclass(frozen=True, slots=True, kw_only=True)
class Playing:
    """One course of the run.  ``events`` is its log with every amendment resolved, ready for measures and fold."""

    tracks: Tracks
    events: tuple[Event, ...]
    outcome: Outcome
    end_s: float
    body_hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """The largest difference of one signal between the stored and the recomputed course, in the signal's unit."""

    signal: str
    largest: float
    at_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """``base`` is the run as it stands by today's body, ``changed`` the other course; they part at ``from_s``."""

    base: Playing
    changed: Playing
    from_s: float
    departures: tuple[Departure, ...] = ()


def what_if(
    setup: RunSetup,
    events: Sequence[Event],
    alteration: Alteration,
    stored: NDArray[np.floating] | None = None,
) -> WhatIf:
    """Both courses of a run.

    Args:
        setup: the run's own; its log is ``events``.
        stored: the true tracks stored with the run (seconds, ``Tracks.names``), to measure the departure against; the
            courses go on to its end, or else to the last event.

    Raises:
        Refusal: no such entry, one that did not act on the patient, or a time outside the run.
    """
    last_step = max((event.step for event in events), default=0)
    until_step = last_step if stored is None else max(last_step, (len(stored) - 1) * STEPS_PER_S)
    _check(events, alteration, until_step)
    body, record = body_timeline(events), _record(events)
    from_step = min(_steps(body + record, alteration))
    before = _Course(Machine(replace(setup, wave_s=0)), Tracks())
    before.go([entry for entry in body if entry.step < from_step], max(0, from_step - STEPS_PER_TICK))
    changed = before.fork()
    base = before.play(body, record, until_step, reads_from=until_step)
    other = changed.play(_altered(body, alteration), _altered(record, alteration), until_step, reads_from=from_step)
    departures = () if stored is None else departure(stored, base.tracks)
    return WhatIf(base=base, changed=other, from_s=from_step / STEPS_PER_S, departures=departures)


class _Course:
    """A machine on its way, with what it wrote."""

    def __init__(self, machine: Machine, tracks: Tracks) -> None:
        self.machine, self.tracks = machine, tracks
        self._n_acted = 0

    def fork(self) -> "_Course":
        twin = _Course(self.machine.copy(), self.tracks.copy())
        twin._n_acted = self._n_acted
        return twin

    def go(self, entries: Sequence[Entry], step: int) -> None:
        """Moves to ``step``; of ``entries``, in order, those that have acted already are passed over."""
        queue = deque(sorted(entries, key=lambda entry: (entry.step, entry.seq)))
        for _ in range(self._n_acted):
            queue.popleft()
        n_waiting = len(queue)
        self.machine.run_to(step, queue, self._on_second)
        self._n_acted += n_waiting - len(queue)

    def _on_second(self, second: int) -> None:
        self.tracks.write_second(second, self.machine.signals, self.machine.shown())
        if self.machine.beats is not None:
            self.tracks.write_beats(*self.machine.beats)

    def play(self, body: Sequence[Entry], record: Sequence[Entry], until_step: int, reads_from: int) -> Playing:
        """Plays what reaches the patient (``body``) to ``until_step``; ``record`` is what the log of it will say.

        After the step ``reads_from``, findings of the record are read from this patient, not from the log.
        """
        told: dict[int, FindingObtained] = {}
        for entry in sorted(record, key=lambda entry: entry.step):
            if isinstance(entry.body, FindingObtained) and entry.step > reads_from:
                self.go(body, min(entry.step, until_step))
                told[entry.seq] = _read(entry.body, self.machine)
        self.go(body, until_step)
        end = self.machine.step
        kept = [entry for entry in record if entry.step <= end or not isinstance(entry.body, REACHES_CORE)]
        return Playing(
            tracks=self.tracks,
            events=_log(kept, self.machine.derived, told),
            outcome=self.machine.outcome(),
            end_s=self.machine.t_s,
            body_hash=self.machine.body.state_hash(),
        )


def departure(stored: NDArray[np.floating], tracks: Tracks) -> tuple[Departure, ...]:
    """How far a recomputed course is from the stored one, signal by signal, the largest relative to its size first.

    Signals that agree to the precision of the store (float32) are left out; none left means the same course.
    """
    n = min(len(stored), len(tracks))
    found = []
    for column, name in enumerate(tracks.names):
        old, new = stored[:n, column].astype(np.float64), tracks.true[:n, column]
        gap = np.nan_to_num(np.abs(old - new))
        if n and gap.max() > 2e-6 * max(1.0, float(np.nanmax(np.abs(new)))):
            at = int(gap.argmax())
            found.append(Departure(signal=name, largest=float(gap[at]), at_s=float(at)))
    return tuple(sorted(found, key=lambda one: -one.largest))


def _record(events: Sequence[Event]) -> list[Entry]:
    return [entry for entry in record_timeline(events) if not entry.is_undone and not entry.is_derived]


def _check(events: Sequence[Event], alteration: Alteration, until_step: int) -> None:
    t_s = alteration.t_s if isinstance(alteration, Add | Move) else None
    if t_s is not None and not 0.0 <= t_s <= until_step / STEPS_PER_S:
        raise Refusal(
            Fault(
                code="time out of range",
                said=f"a what-if cannot be placed at {t_s:g} s",
                allowed=f"0 to {until_step / STEPS_PER_S:g} s, the length of the run",
                remedy="choose a time within the run",
            )
        )
    if isinstance(alteration, Add):
        return
    entry = next((entry for entry in _record(events) if entry.seq == alteration.seq), None)
    if entry is None or not isinstance(entry.body, REACHES_CORE):
        raise Refusal(
            Fault(
                code="unknown entry",
                said=f"entry {alteration.seq} is none that acted on the patient",
                remedy="choose care, a problem or a hold from the log",
            )
        )
    if isinstance(alteration, Change) and not isinstance(entry.body, CareGiven):
        raise Refusal(
            Fault(
                code="not care",
                said=f"entry {alteration.seq} ({entry.body.kind}) is not care and cannot become another action",
                remedy="move or remove it instead",
            )
        )


def _steps(entries: Sequence[Entry], alteration: Alteration) -> list[int]:
    steps = [tick_of(alteration.t_s)] if isinstance(alteration, Add | Move) else []
    if not isinstance(alteration, Add):
        steps += [entry.step for entry in entries if entry.seq == alteration.seq]
    return steps


def _altered(entries: Sequence[Entry], alteration: Alteration) -> list[Entry]:
    match alteration:
        case Add():
            seq = max((entry.seq for entry in entries), default=0) + 1
            body = CareGiven(action=alteration.action, text=alteration.text)
            event = Event(
                seq=seq,
                step=tick_of(alteration.t_s),
                t_sim_s=alteration.t_s,
                t_wall_utc="",
                source="script",
                actor="what-if",
                client_id="what-if",
                body=body,
            )
            return [*entries, Entry(event=event, body=body, step=event.step, t_s=event.t_sim_s)]
        case Move():
            step = tick_of(alteration.t_s)
            return [
                replace(entry, step=step, t_s=alteration.t_s) if entry.seq == alteration.seq else entry
                for entry in entries
            ]
        case Change():
            body = CareGiven(action=alteration.action, text=alteration.text)
            return [replace(entry, body=body) if entry.seq == alteration.seq else entry for entry in entries]
        case Remove():
            return [entry for entry in entries if entry.seq != alteration.seq]


def _read(obtained: FindingObtained, machine: Machine) -> FindingObtained:
    """The finding as this patient would give it at this step; one that is not computed stays as it was told."""
    row = FINDINGS.get(obtained.finding)
    if row is None or row.origin != "body":
        return obtained
    reading = row.read(machine.body.read_all())
    return replace(obtained, value=reading.level, text=reading.words, true_value=reading.level)


def _log(record: Sequence[Entry], derived: Sequence[Derived], told: dict[int, FindingObtained]) -> tuple[Event, ...]:
    log = [
        replace(
            entry.event,
            step=entry.step,
            t_sim_s=entry.t_s,
            body=told.get(entry.seq, entry.body),
        )
        for entry in record
    ]
    log += [
        Event(
            seq=0,
            step=one.step,
            t_sim_s=one.step / STEPS_PER_S,
            t_wall_utc="",
            source=one.source,
            actor="core",
            client_id=f"{DERIVED_PREFIX}0-{one.key}",
            body=one.body,
        )
        for one in derived
    ]
    log.sort(key=lambda event: (event.step, not is_derived(event), event.seq))
    return tuple(replace(event, seq=seq) for seq, event in enumerate(log, start=1))
