"""The first tables"""

import sqlalchemy as sa
from alembic import op

# The log is never rewritten, by whatever program has the file open.
NEVER = "BEGIN SELECT RAISE(ABORT, 'the log is append-only'); END"
APPEND_ONLY = (
    f"CREATE TRIGGER events_never_change BEFORE UPDATE ON events {NEVER}",
    f"CREATE TRIGGER events_never_go BEFORE DELETE ON events {NEVER}",
)

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "file_texts",
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_file_texts")),
    )
    op.create_table(
        "people",
        sa.Column("person_id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("is_active", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_people")),
    )
    op.create_table(
        "sessions",
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("scenario", sa.Text(), nullable=False),
        sa.Column("scenario_hash", sa.Text(), nullable=False),
        sa.Column("manikin", sa.Text(), nullable=False),
        sa.Column("created_wall_utc", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("closed_wall_utc", sa.Text(), nullable=True),
        sa.Column("closed_reason", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("session_id", name=op.f("pk_sessions")),
    )
    op.create_table(
        "settings",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_settings")),
    )
    op.create_table(
        "runs",
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("scenario", sa.Text(), nullable=False),
        sa.Column("scenario_hash", sa.Text(), nullable=False),
        sa.Column("manikin", sa.Text(), nullable=False),
        sa.Column("manikin_hash", sa.Text(), nullable=False),
        sa.Column("body_hash", sa.Text(), nullable=False),
        sa.Column("seed", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("purpose", sa.Text(), nullable=False),
        sa.Column("created_wall_utc", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=True),
        sa.Column("crew_text", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("ended_wall_utc", sa.Text(), nullable=True),
        sa.Column("outcome", sa.Text(), nullable=True),
        sa.Column("version", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.session_id"], name=op.f("fk_runs_session_id")),
        sa.PrimaryKeyConstraint("run_id", name=op.f("pk_runs")),
    )
    with op.batch_alter_table("runs", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_runs_created_wall_utc"), ["created_wall_utc"], unique=False)
        batch_op.create_index(batch_op.f("ix_runs_state"), ["state"], unique=False)

    op.create_table(
        "session_counts",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("counted_in", sa.Integer(), nullable=False),
        sa.Column("counted_out", sa.Integer(), nullable=True),
        sa.Column("used", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.session_id"], name=op.f("fk_session_counts_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session_counts")),
    )
    with op.batch_alter_table("session_counts", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_counts_session_id"), ["session_id"], unique=False)

    op.create_table(
        "session_crew",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Text(), nullable=False),
        sa.Column("seat", sa.Text(), nullable=False),
        sa.Column("agreement", sa.Text(), nullable=False),
        sa.Column("agreed_wall_utc", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.session_id"], name=op.f("fk_session_crew_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session_crew")),
    )
    with op.batch_alter_table("session_crew", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_crew_session_id"), ["session_id"], unique=False)

    op.create_table(
        "session_ticks",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("session_id", sa.Text(), nullable=False),
        sa.Column("tick", sa.Text(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=False),
        sa.Column("done_wall_utc", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["session_id"], ["sessions.session_id"], name=op.f("fk_session_ticks_session_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_session_ticks")),
    )
    with op.batch_alter_table("session_ticks", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_session_ticks_session_id"), ["session_id"], unique=False)

    op.create_table(
        "events",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("client_id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("step", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_events_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_events")),
        sa.UniqueConstraint("run_id", "client_id", name=op.f("uq_events_run_id_client_id")),
        sa.UniqueConstraint("run_id", "seq", name=op.f("uq_events_run_id_seq")),
    )
    op.create_table(
        "exposure",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("person_id", sa.Text(), nullable=False),
        sa.Column("scenario", sa.Text(), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("seat", sa.Text(), nullable=False),
        sa.Column("met_wall_utc", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["people.person_id"], name=op.f("fk_exposure_person_id")),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_exposure_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exposure")),
        sa.UniqueConstraint("person_id", "run_id", "scenario", name=op.f("uq_exposure_person_id_run_id_scenario")),
    )
    op.create_table(
        "notes",
        sa.Column("note_id", sa.Text(), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("written_wall_utc", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("t_s", sa.Float(), nullable=True),
        sa.Column("about_seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("is_removed", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_notes_run_id")),
        sa.PrimaryKeyConstraint("note_id", name=op.f("pk_notes")),
    )
    with op.batch_alter_table("notes", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_notes_run_id"), ["run_id"], unique=False)

    op.create_table(
        "run_files",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_run_files_run_id")),
        sa.ForeignKeyConstraint(["sha256"], ["file_texts.sha256"], name=op.f("fk_run_files_sha256")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run_files")),
    )
    with op.batch_alter_table("run_files", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_files_run_id"), ["run_id"], unique=False)

    op.create_table(
        "snapshots",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("step", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("model_hash", sa.Text(), nullable=False),
        sa.Column("blob", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_snapshots_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_snapshots")),
    )
    with op.batch_alter_table("snapshots", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_snapshots_run_id_model_hash"), ["run_id", "model_hash"], unique=False)

    op.create_table(
        "tracks",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("run_id", sa.Text(), nullable=False),
        sa.Column("t0_s", sa.Float(), nullable=False),
        sa.Column("dt_s", sa.Float(), nullable=False),
        sa.Column("n_rows", sa.Integer(), nullable=False),
        sa.Column("names", sa.Text(), nullable=False),
        sa.Column("true", sa.LargeBinary(), nullable=False),
        sa.Column("shown", sa.LargeBinary(), nullable=False),
        sa.Column("beats_s", sa.LargeBinary(), nullable=False),
        sa.Column("rhythm", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["runs.run_id"], name=op.f("fk_tracks_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tracks")),
    )
    with op.batch_alter_table("tracks", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_tracks_run_id"), ["run_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        for trigger in APPEND_ONLY:
            op.execute(trigger)


def downgrade() -> None:
    with op.batch_alter_table("tracks", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_tracks_run_id"))

    op.drop_table("tracks")
    with op.batch_alter_table("snapshots", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_snapshots_run_id_model_hash"))

    op.drop_table("snapshots")
    with op.batch_alter_table("run_files", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_run_files_run_id"))

    op.drop_table("run_files")
    with op.batch_alter_table("notes", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_notes_run_id"))

    op.drop_table("notes")
    op.drop_table("exposure")
    op.drop_table("events")
    with op.batch_alter_table("session_ticks", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_session_ticks_session_id"))

    op.drop_table("session_ticks")
    with op.batch_alter_table("session_crew", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_session_crew_session_id"))

    op.drop_table("session_crew")
    with op.batch_alter_table("session_counts", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_session_counts_session_id"))

    op.drop_table("session_counts")
    with op.batch_alter_table("runs", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_runs_state"))
        batch_op.drop_index(batch_op.f("ix_runs_created_wall_utc"))

    op.drop_table("runs")
    op.drop_table("settings")
    op.drop_table("sessions")
    op.drop_table("people")
    op.drop_table("file_texts")
