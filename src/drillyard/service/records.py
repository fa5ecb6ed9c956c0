"""What a lab folder keeps beside the log, as plain records: the words in which ports and use cases speak.

Times of day are ISO 8601 text with offset; ``zone`` is an IANA zone name.  People appear here only; a run's log
holds opaque ids.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class FileCopy:
    """The very text of a file that a run used.  ``sha256`` is of ``text`` in UTF-8."""

    role: Literal["scenario", "manikin", "crew", "kit", "drug", "patient"]
    name: str
    text: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRecord:
    """One playing of a case.  ``state``: "open" until ended; "void" after a false start."""

    run_id: str
    room: str
    title: str
    scenario: str
    scenario_hash: str
    manikin: str
    manikin_hash: str
    body_hash: str
    seed: int
    purpose: Literal["rehearsal", "session"]
    created_wall_utc: str
    zone: str
    session_id: str | None = None
    crew_text: str = ""
    state: Literal["open", "ended", "void"] = "open"
    ended_wall_utc: str | None = None
    outcome: str | None = None
    version: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Appended:
    """What became of one append: ``stored_seqs`` are on disk, ``repeated`` client ids were there already."""

    stored_seqs: tuple[int, ...]
    repeated: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackBlock:
    """A stretch of the 1 Hz tracks.

    ``true`` and ``shown`` are float32 of shape (seconds, names), NaN where nothing was known or shown; row k is
    the second ``t0_s + k * dt_s``.
    """

    t0_s: float
    names: tuple[str, ...]
    true: NDArray[np.float32]
    shown: NDArray[np.float32]
    dt_s: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RhythmChange:
    t_s: float
    rhythm_code: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredTracks:
    """All tracks of one run; ``beats_s`` are the times of the beats, rising."""

    block: TrackBlock
    beats_s: NDArray[np.float32]
    rhythm: tuple[RhythmChange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SnapshotRecord:
    """A run's body at one step, for recovery.  ``seq`` is the last event in it; ``model_hash`` the body's."""

    step: int
    seq: int
    model_hash: str
    blob: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class LastMoment:
    """The newest step that a live run is known to have lived, and the time of day at which it had."""

    step: int
    t_wall_utc: str


RoleName = Literal["operator", "facilitator", "rater", "learner", "coordinator", "administrator"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    person_id: str
    name: str
    role: RoleName = "learner"
    is_active: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One person has met one case."""

    person_id: str
    scenario: str
    run_id: str
    seat: str
    met_wall_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """Things counted in before and out after: training drugs, marked fluids, sharps.  ``out`` None: not counted."""

    item: str
    kind: Literal["training drug", "training fluid", "sharp"]
    counted_in: int
    counted_out: int | None = None
    used: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyTick:
    tick: str
    done_by: str
    done_wall_utc: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewMember:
    """A person's place in one session.  ``agreement`` is the version of the text that was agreed to, or empty."""

    person_id: str
    seat: str
    agreement: str = ""
    agreed_wall_utc: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionRecord:
    """One booking of crew, room, manikin and case, with what was signed, ticked and counted."""

    session_id: str
    room: str
    scenario: str
    scenario_hash: str
    manikin: str
    created_wall_utc: str
    zone: str
    crew: tuple[CrewMember, ...] = ()
    counts: tuple[Count, ...] = ()
    ticks: tuple[SafetyTick, ...] = ()
    closed_wall_utc: str | None = None
    closed_reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DebriefNote:
    """A note written after the run.  ``note_id`` is made by the writer and is unique."""

    note_id: str
    run_id: str
    author: str
    written_wall_utc: str
    text: str
    t_s: float | None = None
    about_seq: int | None = None
    is_removed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LabSettings:
    """What one lab chose.  Units change what screens show, never what is stored."""

    lab_name: str = "Training lab"
    pressure_unit: Literal["mmHg", "kPa"] = "mmHg"
    gas_tension_unit: Literal["mmHg", "kPa"] = "mmHg"
    glucose_unit: Literal["mg/dL", "mmol/L"] = "mg/dL"
    temperature_unit: Literal["degC", "degF"] = "degC"
    weight_unit: Literal["kg", "lb"] = "kg"
    drug_words: Literal["epinephrine", "adrenaline"] = "epinephrine"
    zone: str = "UTC"
    one_person_lab: bool = True
    recovery_limit_s: float = 120.0
    stop_word: str = "Stop, stop, stop"
    emergency_word: str = "Real emergency"
    agreement_version: str = "1"
    rooms: tuple[str, ...] = field(default=("room-1",))
