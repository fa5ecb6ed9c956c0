"""The session core around the real body, on a case of the demo lab: what the small patient of the other tests cannot
show (drug slots, chance, cuff scatter, sensors, rules on real signals)."""

from concurrent.futures import ThreadPoolExecutor
from functools import cache

import numpy as np
import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.kernel import load_kernel
from drillyard.core.care.actions import (
    Attach,
    ControlBleeding,
    DecompressChest,
    GiveDrug,
    GiveOxygen,
    MeasurePressure,
    PlaceLine,
)
from drillyard.core.session.events import (
    CareGiven,
    EntryUndone,
    FindingObtained,
    HoldReleased,
    HoldSet,
    LateEntry,
    PhaseEntered,
)
from drillyard.core.session.look_ahead import look_ahead
from drillyard.core.session.run import Run, replay
from drillyard.core.session.setup import PrerollStore, RunSetup, wanted_patient
from drillyard.core.session.what_if import Remove, what_if
from tests.core.session.playbook import Playbook

PREROLL = PrerollStore()
NEEDLE = DecompressChest(side="left")
TOURNIQUET = ControlBleeding(how="tourniquet", site="left thigh")


@cache
def setup(name: str = "c8-tractor", preroll: PrerollStore = PREROLL) -> RunSetup:
    case = LabFolder(DEMO).scenario(name).use()
    return RunSetup(
        run_id="run-1",
        scenario=case,
        manikin=None,
        patient=wanted_patient(case),
        seed=11,
        formulary=packaged_formulary(),
        kernel=load_kernel(),
        wave_s=4,
        preroll=preroll,
    )


def care(action: object) -> CareGiven:
    return CareGiven(action=action, text="care")  # type: ignore[arg-type]


def session() -> Playbook:
    """Three minutes with sensors, a cuff cycle, drugs, a hold, a late entry and an undo."""
    book = Playbook(setup()).now(PhaseEntered(phase="at patient"))
    book.at(3.0, care(Attach(sensor="finger probe", site="right hand"))).at(5.0, care(Attach(sensor="ECG electrodes")))
    book.at(8.0, care(MeasurePressure(site="right arm"))).at(
        20.0, care(GiveOxygen(device="reservoir mask", flow_l_per_min=15.0))
    )
    book.at(60.0, care(NEEDLE)).at(70.0, care(PlaceLine(site="right arm", gauge=18)))
    book.at(80.0, care(GiveDrug(drug="tranexamic acid", dose=1000.0, route="IV", over_s=600.0)))
    book.at(90.0, HoldSet(what="heart rate", value=140.0, display_only=False))
    book.at(95.0, LateEntry(action=TOURNIQUET, text="tourniquet", t_s=40.0))
    book.at(110.0, care(GiveDrug(drug="fentanyl", dose=50.0, dose_unit="ug", route="IV")))
    book.at(120.0, EntryUndone(target_seq=book.log[-1].seq, reason="not given"))
    return book.at(130.0, HoldReleased(what="heart rate")).to(180.0)


def test_the_case_begins_as_long_after_its_start_as_it_says() -> None:
    run = Run(setup())
    assert run.machine.body.read("step_count") == 7 * 60 * 100, "the wound of this case opened seven minutes before"
    signals = run.signals()
    assert signals["blood_lost_ml"] > 500.0 and signals["pleural_air_left_ml"] > 100.0
    afresh = Run(setup(preroll=PrerollStore()))
    assert afresh.machine.body.state_hash() == run.machine.body.state_hash(), "pre-rolled anew or from the store"
    assert len(run.machine.body.snapshot()) <= 16_384


def test_the_log_replays_to_the_same_bits_alone_and_in_another_thread() -> None:
    book = session()
    with ThreadPoolExecutor(max_workers=1) as threads:
        runs = [
            replay(setup(), book.log, 18_000),
            threads.submit(replay, setup(), book.log, 18_000).result(),
        ]
    for again in runs:
        assert again.mismatches == [] and again.pending_wanted() == []
        assert again.machine.body.state_hash() == book.run.machine.body.state_hash()
        np.testing.assert_array_equal(again.tracks.true, book.run.tracks.true)
        np.testing.assert_array_equal(again.tracks.shown, book.run.tracks.shown)
        assert again.state == book.run.state


def test_a_late_tourniquet_gives_the_patient_of_a_timely_one() -> None:
    late = Playbook(setup()).at(90.0, LateEntry(action=TOURNIQUET, text="tourniquet", t_s=40.0)).to(120.0)
    timely = Playbook(setup()).at(40.0, care(TOURNIQUET)).to(120.0)
    never = Playbook(setup()).to(120.0)
    assert late.run.machine.body.state_hash() == timely.run.machine.body.state_hash()
    assert late.run.signals()["blood_lost_ml"] < never.run.signals()["blood_lost_ml"] - 50.0


def test_an_undone_drug_leaves_no_trace_in_the_body() -> None:
    book = Playbook(setup()).at(10.0, care(GiveDrug(drug="fentanyl", dose=100.0, dose_unit="ug", route="IV")))
    book.at(40.0, EntryUndone(target_seq=1)).to(60.0)
    never = Playbook(setup()).to(60.0)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_what_is_shown_follows_the_patient_with_the_sensors_own_lag() -> None:
    book = session()
    shown, true = book.run.tracks.shown_column("spo2_pct"), book.run.tracks.column("spo2_pct")
    assert np.isnan(shown[:8]).all() and not np.isnan(shown[60:90]).any()
    assert np.abs(shown[60:90] - true[60:90]).max() < 3.0
    (reading,) = [w.body for w in book.wanted if isinstance(w.body, FindingObtained)]
    assert reading.value is not None and reading.true_value is not None and reading.requested_t_s == 8.0
    assert abs(reading.value - reading.true_value) < 25.0, "own bound: bias, scatter and half a minute of change"


def test_beats_and_waves_come_from_the_body() -> None:
    book = Playbook(setup()).to(60.0)
    beats = book.run.tracks.beats_s
    rate = 60.0 / np.diff(beats).mean()
    assert rate == pytest.approx(book.run.tracks.column("heart_rate_per_min").mean(), rel=0.05)
    waves = book.run.waves
    assert waves is not None
    _, rows = waves.since(0)
    pressure = rows[:, waves.names.index("arterial_pressure_mmhg")]
    assert pressure.max() == pytest.approx(book.run.signals()["systolic_pressure_mmhg"], rel=0.15)


def test_the_look_ahead_is_what_then_happens() -> None:
    book = Playbook(setup()).to(10.0)
    ahead = look_ahead(book.run.branch(), minutes=3.0)
    assert ahead is not None and len(ahead.values) == 36
    book.to(190.0)
    for crossing in ahead.crossings:
        if crossing.limit.signal in book.run.tracks.names:
            assert crossing.limit.is_crossed(book.run.tracks.column(crossing.limit.signal)[int(crossing.t_s)])
    last = int(ahead.from_s + ahead.dt_s * (len(ahead.values) - 1))
    np.testing.assert_array_equal(
        ahead.column("systolic_pressure_mmhg")[-1], book.run.tracks.column("systolic_pressure_mmhg")[last]
    )


def test_a_what_if_starts_from_the_run_that_was() -> None:
    book = session()
    seq = next(e.seq for e in book.log if isinstance(e.body, CareGiven) and e.body.action == NEEDLE)
    told = what_if(setup(), book.log, Remove(seq=seq), book.run.tracks.true.astype(np.float32))
    assert told.departures == () and told.base.body_hash == book.run.machine.body.state_hash()
    assert told.changed.tracks.column("spo2_pct")[-1] <= told.base.tracks.column("spo2_pct")[-1]
    assert told.changed.body_hash != told.base.body_hash
