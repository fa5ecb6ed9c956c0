"""Runs, tracks, people, sessions, notes, settings: what goes in comes out."""

from dataclasses import replace

import numpy as np
import pytest

from drillyard.adapters.sql.lab_store import SqlLabStore
from drillyard.core.quantities.faults import Refusal
from drillyard.service.ports import LabStore
from drillyard.service.records import (
    Count,
    CrewMember,
    DebriefNote,
    Exposure,
    LabSettings,
    Person,
    RhythmChange,
    SafetyTick,
    SessionRecord,
    SnapshotRecord,
    TrackBlock,
)
from tests.adapters.sql.conftest import file_copy, run_record

WHEN = "2026-05-04T09:00:00+00:00"


def test_it_is_a_lab_store(store: SqlLabStore) -> None:
    port: LabStore = store
    assert port.settings.read() == LabSettings()


def test_a_run_pins_copies_of_its_files(store: SqlLabStore) -> None:
    files = [file_copy(), file_copy("adult.yaml", "manikin\n", "manikin")]
    store.runs.create(run_record(), files).result()
    store.runs.create(run_record("run-2"), files).result()
    assert store.runs.get("run-1") == run_record()
    assert store.runs.files("run-2") == files
    assert store.runs.get("run-3") is None and store.runs.files("run-3") == []
    with store._reader.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM file_texts").scalar() == 2, "each text once"


def test_a_copy_that_is_not_what_its_hash_names_is_refused_and_nothing_kept(store: SqlLabStore) -> None:
    with pytest.raises(Refusal, match="copy of 'tractor"):
        store.runs.create(run_record(), [replace(file_copy(), text="changed")]).result()
    assert store.runs.get("run-1") is None


def test_runs_that_ended_are_not_looked_at_by_recovery(store: SqlLabStore) -> None:
    for k in range(1, 4):
        store.runs.create(run_record(f"run-{k}", created_wall_utc=f"2026-05-0{k}T09:00:00+00:00"), []).result()
    store.runs.close("run-1", "ended", WHEN, "alive").result()
    store.runs.close("run-2", "void", WHEN).result()
    assert [run.run_id for run in store.runs.open_runs()] == ["run-3"]
    assert [run.run_id for run in store.runs.newest()] == ["run-3", "run-2", "run-1"]
    assert [run.run_id for run in store.runs.newest(limit=1)] == ["run-3"]
    assert store.runs.newest(room="room-2") == []
    ended = store.runs.get("run-1")
    assert ended is not None and (ended.state, ended.outcome, ended.ended_wall_utc) == ("ended", "alive", WHEN)
    for bad in (("run-9", "ended"), ("run-3", "lost")):
        with pytest.raises(Refusal):
            store.runs.close(*bad, WHEN).result()


def block(
    t0_s: float, true: list[list[float]], shown: list[list[float]], names: tuple[str, ...] = ("a", "b")
) -> TrackBlock:
    return TrackBlock(t0_s=t0_s, names=names, true=np.array(true, np.float32), shown=np.array(shown, np.float32))


def test_tracks_are_joined_and_what_was_shown_stays(store: SqlLabStore) -> None:
    nan = float("nan")
    store.runs.create(run_record(), []).result()
    assert store.tracks.read("run-1") is None
    store.tracks.append("run-1", block(0, [[1, 2], [3, 4]], [[nan, 9], [8, 7]]), [0.4, 1.0], [(0.0, 0)]).result()
    store.tracks.append("run-1", block(2, [[5, 6]], [[6, 5]]), [1.7], [(2.0, 1)]).result()
    # recomputed from second 1 on, and one second further
    store.tracks.append(
        "run-1", block(1, [[30, 40], [50, 60], [7, 8]], [[0, 0], [0, 0], [4, 3]]), [1.1, 2.2], []
    ).result()
    read = store.tracks.read("run-1")
    assert read is not None and read.block.names == ("a", "b")
    np.testing.assert_array_equal(read.block.true, [[1, 2], [30, 40], [50, 60], [7, 8]])
    np.testing.assert_array_equal(read.block.shown, [[nan, 9], [8, 7], [6, 5], [4, 3]])
    assert read.beats_s.tolist() == pytest.approx([1.1, 2.2]) and read.rhythm == (RhythmChange(t_s=0.0, rhythm_code=0),)


def test_a_recomputed_course_that_is_shorter_leaves_nothing_of_the_old_one(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    store.tracks.append("run-1", block(0, [[1, 1], [2, 2], [3, 3]], [[1, 1], [2, 2], [3, 3]])).result()
    store.tracks.append("run-1", block(0, [[9, 9]], [[0, 0]])).result()
    read = store.tracks.read("run-1")
    assert read is not None
    np.testing.assert_array_equal(read.block.true, [[9, 9]])
    np.testing.assert_array_equal(read.block.shown[:3], [[1, 1], [2, 2], [3, 3]])


def test_a_signal_that_was_not_stored_before_is_unknown_there(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    store.tracks.append("run-1", block(0, [[1, 2]], [[1, 2]])).result()
    store.tracks.append("run-1", block(1, [[4, 3, 5]], [[4, 3, 5]], ("b", "a", "c"))).result()
    read = store.tracks.read("run-1")
    assert read is not None and read.block.names == ("a", "b", "c")
    np.testing.assert_array_equal(read.block.true, [[1, 2, np.nan], [3, 4, 5]])


def test_a_long_run_is_stored_small_and_to_float32(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    numbers = np.cumsum(np.random.default_rng(1).normal(size=(1200, 28)), axis=0)
    for t0 in range(0, 1200, 5):
        part = numbers[t0 : t0 + 5]
        store.tracks.append(
            "run-1", TrackBlock(t0_s=float(t0), names=tuple(map(str, range(28))), true=part, shown=part)
        )
    store.tracks.append("run-1", block(1200, [[0] * 1], [[0] * 1], ("0",))).result()
    read = store.tracks.read("run-1")
    assert read is not None
    np.testing.assert_array_equal(read.block.true[:1200], numbers.astype(np.float32))


def test_only_the_newest_snapshots_stay(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    for step in range(0, 50_000, 1000):
        snapshot = SnapshotRecord(step=step, seq=step // 10, model_hash="m1", blob=bytes([step % 251]) * 8000)
        store.tracks.keep_snapshot("run-1", snapshot).result()
    assert store.tracks.newest_snapshot("run-1", "m1") == snapshot
    assert store.tracks.newest_snapshot("run-1", "m2") is None and store.tracks.newest_snapshot("run-2", "m1") is None
    with store._reader.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM snapshots").scalar() == 3


def test_people_and_who_has_met_which_case(store: SqlLabStore) -> None:
    ana, ben = Person(person_id="p-1", name="Ana"), Person(person_id="p-2", name="Ben", role="operator")
    store.people.save(ben).result()
    store.people.save(ana).result()
    store.people.save(replace(ben, is_active=False)).result()
    assert store.people.people() == [ana]
    assert store.people.people(include_inactive=True) == [ana, replace(ben, is_active=False)]
    store.runs.create(run_record(), []).result()
    met = [
        Exposure(person_id=p, scenario="tractor", run_id="run-1", seat="lead", met_wall_utc=WHEN)
        for p in ("p-1", "p-2")
    ]
    store.people.add_exposure(met).result()
    store.people.add_exposure(met[:1]).result()
    assert store.people.exposures() == met and store.people.exposures(["p-2"]) == met[1:]
    with pytest.raises(Refusal):
        store.people.add_exposure([replace(met[0], person_id="nobody")]).result()


def test_a_session_is_replaced_whole(store: SqlLabStore) -> None:
    session = SessionRecord(
        session_id="s-1", room="room-1", scenario="tractor", scenario_hash="ab", manikin="adult",
        created_wall_utc=WHEN, zone="UTC",
        crew=(CrewMember(person_id="p-1", seat="lead", agreement="1", agreed_wall_utc=WHEN),
              CrewMember(person_id="p-2", seat="second")),
        counts=(Count(item="epinephrine", kind="training drug", counted_in=4),),
        ticks=(SafetyTick(tick="dry chest", done_by="op", done_wall_utc=WHEN),),
    )  # fmt: skip
    store.sessions.save(session).result()
    assert store.sessions.get("s-1") == session and store.sessions.get("s-2") is None
    closed = replace(
        session, counts=(replace(session.counts[0], counted_out=3, used=1),), crew=session.crew[:1],
        closed_wall_utc=WHEN, closed_reason="counts agree",
    )  # fmt: skip
    store.sessions.save(closed).result()
    store.sessions.save(replace(session, session_id="s-2", created_wall_utc="2026-05-05T09:00:00+00:00")).result()
    assert store.sessions.get("s-1") == closed
    assert [one.session_id for one in store.sessions.newest()] == ["s-2", "s-1"]
    store.runs.create(run_record(session_id="s-1"), []).result()
    with pytest.raises(Refusal):
        store.runs.create(run_record("run-2", session_id="s-9"), []).result()


def test_notes_of_the_debrief(store: SqlLabStore) -> None:
    store.runs.create(run_record(), []).result()
    note = DebriefNote(note_id="n-1", run_id="run-1", author="fac", written_wall_utc=WHEN, text="look here", t_s=12.5)
    store.notes.save(note).result()
    store.notes.save(replace(note, note_id="n-2", about_seq=3)).result()
    store.notes.save(replace(note, text="look there")).result()
    store.notes.save(replace(note, note_id="n-2", is_removed=True)).result()
    assert store.notes.notes("run-1") == [replace(note, text="look there")]


def test_settings_are_changed_one_by_one_and_checked(store: SqlLabStore) -> None:
    changed = store.settings.change({"pressure_unit": "kPa", "rooms": ["blue", "red"], "recovery_limit_s": 60}).result()
    assert changed == LabSettings(pressure_unit="kPa", rooms=("blue", "red"), recovery_limit_s=60.0)
    assert store.settings.read() == changed
    with pytest.raises(Refusal, match=r"no setting 'glucose_units'.*did you mean 'glucose_unit'"):
        store.settings.change({"glucose_units": "mg/dL"}).result()
    with pytest.raises(Refusal, match=r"zone_unit|glucose_unit: .*'mmol/L'"):
        store.settings.change({"glucose_unit": "g/L", "zone": "UTC"}).result()
    assert store.settings.read() == changed
