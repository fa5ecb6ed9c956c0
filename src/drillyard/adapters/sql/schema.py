"""The tables of ``lab.db``.

Times of day are ISO 8601 text with offset; a dimensional column ends in its unit.  ``events`` is append-only: triggers
that the first migration makes refuse every update and delete.
"""

from typing import Final

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

METADATA: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)

_ID: Final = BigInteger().with_variant(Integer, "sqlite")

SESSIONS: Final = Table(
    "sessions",
    METADATA,
    Column("session_id", Text, primary_key=True),
    Column("room", Text, nullable=False),
    Column("scenario", Text, nullable=False),
    Column("scenario_hash", Text, nullable=False),
    Column("manikin", Text, nullable=False),
    Column("created_wall_utc", Text, nullable=False),
    Column("zone", Text, nullable=False),
    Column("closed_wall_utc", Text),
    Column("closed_reason", Text, nullable=False),
)

SESSION_CREW: Final = Table(
    "session_crew",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("session_id", Text, ForeignKey("sessions.session_id"), nullable=False, index=True),
    Column("person_id", Text, nullable=False),
    Column("seat", Text, nullable=False),
    Column("agreement", Text, nullable=False),
    Column("agreed_wall_utc", Text),
)

SESSION_COUNTS: Final = Table(
    "session_counts",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("session_id", Text, ForeignKey("sessions.session_id"), nullable=False, index=True),
    Column("item", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("counted_in", Integer, nullable=False),
    Column("counted_out", Integer),
    Column("used", Integer, nullable=False),
)

SESSION_TICKS: Final = Table(
    "session_ticks",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("session_id", Text, ForeignKey("sessions.session_id"), nullable=False, index=True),
    Column("tick", Text, nullable=False),
    Column("done_by", Text, nullable=False),
    Column("done_wall_utc", Text, nullable=False),
)

RUNS: Final = Table(
    "runs",
    METADATA,
    Column("run_id", Text, primary_key=True),
    Column("room", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("scenario", Text, nullable=False),
    Column("scenario_hash", Text, nullable=False),
    Column("manikin", Text, nullable=False),
    Column("manikin_hash", Text, nullable=False),
    Column("body_hash", Text, nullable=False),
    Column("seed", _ID, nullable=False),
    Column("purpose", Text, nullable=False),
    Column("created_wall_utc", Text, nullable=False, index=True),
    Column("zone", Text, nullable=False),
    Column("session_id", Text, ForeignKey("sessions.session_id")),
    Column("crew_text", Text, nullable=False),
    Column("state", Text, nullable=False, index=True),
    Column("ended_wall_utc", Text),
    Column("outcome", Text),
    Column("version", Text, nullable=False),
)

FILE_TEXTS: Final = Table(
    "file_texts",
    METADATA,
    Column("sha256", Text, primary_key=True),
    Column("text", Text, nullable=False),
)
"""Each text once, however many runs used it."""

RUN_FILES: Final = Table(
    "run_files",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False, index=True),
    Column("role", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("sha256", Text, ForeignKey("file_texts.sha256"), nullable=False),
)

EVENTS: Final = Table(
    "events",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False),
    Column("seq", _ID, nullable=False),
    Column("client_id", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("step", _ID, nullable=False),
    Column("line", Text, nullable=False),
    UniqueConstraint("run_id", "seq"),
    UniqueConstraint("run_id", "client_id"),
)
"""``line`` is the whole event as the codec writes it."""

TRACKS: Final = Table(
    "tracks",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False, index=True),
    Column("t0_s", Float, nullable=False),
    Column("dt_s", Float, nullable=False),
    Column("n_rows", Integer, nullable=False),
    Column("names", Text, nullable=False),
    Column("true", LargeBinary, nullable=False),
    Column("shown", LargeBinary, nullable=False),
    Column("beats_s", LargeBinary, nullable=False),
    Column("rhythm", Text, nullable=False),
)
"""Stretches of float32 numbers, little endian, deflated; ``names`` and ``rhythm`` are JSON."""

SNAPSHOTS: Final = Table(
    "snapshots",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False),
    Column("step", _ID, nullable=False),
    Column("seq", _ID, nullable=False),
    Column("model_hash", Text, nullable=False),
    Column("blob", LargeBinary, nullable=False),
    Index(None, "run_id", "model_hash"),
)

MOMENTS: Final = Table(
    "moments",
    METADATA,
    Column("run_id", Text, ForeignKey("runs.run_id"), primary_key=True),
    Column("step", _ID, nullable=False),
    Column("t_wall_utc", Text, nullable=False),
)
"""One row a run, replaced once a second while it is live: what recovery knows of the last moment before an outage."""

PEOPLE: Final = Table(
    "people",
    METADATA,
    Column("person_id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("role", Text, nullable=False),
    Column("is_active", Boolean, nullable=False),
)

EXPOSURE: Final = Table(
    "exposure",
    METADATA,
    Column("id", _ID, primary_key=True),
    Column("person_id", Text, ForeignKey("people.person_id"), nullable=False),
    Column("scenario", Text, nullable=False),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False),
    Column("seat", Text, nullable=False),
    Column("met_wall_utc", Text, nullable=False),
    UniqueConstraint("person_id", "run_id", "scenario"),
)

NOTES: Final = Table(
    "notes",
    METADATA,
    Column("note_id", Text, primary_key=True),
    Column("run_id", Text, ForeignKey("runs.run_id"), nullable=False, index=True),
    Column("author", Text, nullable=False),
    Column("written_wall_utc", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("t_s", Float),
    Column("about_seq", _ID),
    Column("is_removed", Boolean, nullable=False),
)

SETTINGS: Final = Table(
    "settings",
    METADATA,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""``value`` is JSON; a name that is missing has its default."""
