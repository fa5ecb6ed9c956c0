"""The cuff set to cycle by itself: in the run's own time, from the log alone, like an on-demand cycle."""

from drillyard.core.care.actions import Attach, Detach, MeasurePressure, RepeatPressure
from drillyard.core.session.events import CareGiven, EntryUndone, FindingObtained
from drillyard.core.session.run import replay
from drillyard.core.session.setup import RunSetup
from drillyard.core.session.what_if import Remove, what_if
from drillyard.core.signals.sensors import Sensors
from tests.core.session.fakes import setup
from tests.core.session.playbook import Playbook


def real_sensors() -> RunSetup:
    return setup(make_sensors=lambda made: Sensors(seed=float(made.seed)))


def care(action: object) -> CareGiven:
    return CareGiven(action=action, text="care")  # type: ignore[arg-type]


def times(book: Playbook) -> list[float]:
    return [w.t_sim_s for w in book.wanted if isinstance(w.body, FindingObtained)]


def repeated(every_s: float = 120.0) -> Playbook:
    book = Playbook(real_sensors()).at(1.0, care(Attach(sensor="pressure cuff", site="right arm")))
    return book.at(10.0, care(RepeatPressure(every_s=every_s)))


def test_the_first_cycle_begins_at_once_and_the_others_by_the_clock_of_the_run() -> None:
    book = repeated().to(400.0)
    first, *later = times(book)
    assert 40.0 <= first <= 50.0, "filling and listening take half a minute"
    assert later == [first + 120.0, first + 240.0, first + 360.0][: len(later)] and len(later) >= 2
    readings = [w.body for w in book.wanted if isinstance(w.body, FindingObtained)]
    assert all(r.how == "room monitor" and r.requested_t_s is None and "right arm" in r.text for r in readings)
    view = book.run.machine.sensors.cuff_view()
    assert (view.repeat_s, view.due_s) == (120.0, 490.0)
    assert book.run.state.cuff_repeat_s == 120.0


def test_a_cycle_asked_for_in_between_is_the_crews_and_the_others_keep_their_times() -> None:
    book = repeated().at(60.0, care(MeasurePressure(site="right arm"))).to(200.0)
    asked = [w.body.requested_t_s for w in book.wanted if isinstance(w.body, FindingObtained)]
    assert asked == [None, 60.0, None]
    assert times(book)[2] == times(book)[0] + 120.0


def test_a_cycle_asked_for_while_one_runs_by_itself_waits_and_each_has_its_own_cause() -> None:
    book = repeated().at(20.0, care(MeasurePressure(site="right arm"))).to(120.0)
    assert [w.body.requested_t_s for w in book.wanted if isinstance(w.body, FindingObtained)] == [None, 20.0]


def test_it_ends_when_it_is_set_back_and_when_the_cuff_comes_off() -> None:
    off = repeated().at(60.0, care(RepeatPressure(every_s=0.0))).to(400.0)
    assert len(times(off)) == 1 and off.run.state.cuff_repeat_s == 0.0
    taken = repeated().at(20.0, care(Detach(sensor="pressure cuff"))).to(400.0)
    (reading,) = [w.body for w in taken.wanted if isinstance(w.body, FindingObtained)]
    assert "cuff taken off" in reading.text and reading.requested_t_s is None
    assert taken.run.state.cuff_repeat_s == 0.0 and taken.run.machine.sensors.cuff_view().repeat_s is None


def test_a_cuff_that_is_moved_goes_on() -> None:
    book = repeated().at(60.0, care(Attach(sensor="pressure cuff", site="left arm"))).to(180.0)
    second = [w.body for w in book.wanted if isinstance(w.body, FindingObtained)][1]
    assert "left arm" in second.text


def test_a_replay_a_branch_and_a_restored_snapshot_give_the_same_readings() -> None:
    book = repeated().to(90.0)
    early = list(book.log)
    branch, kept = book.run.branch(), book.run.snapshot()
    branch_found = [w for w in branch.advance_to(40_000) if isinstance(w.body, FindingObtained)]
    book.to(400.0)
    live = [(w.t_sim_s, w.body) for w in book.wanted if isinstance(w.body, FindingObtained)]
    assert [(w.t_sim_s, w.body) for w in branch_found] == live[1:]
    again = replay(book.run.setup, book.log, 40_000)
    assert not again.mismatches and not again.pending_wanted()
    lost = replay(book.run.setup, early, 40_000)
    assert [w.body for w in lost.pending_wanted()] == [body for _, body in live[1:]]
    book.run.restore(kept)
    assert [(w.t_sim_s, w.body) for w in book.run.advance_to(40_000)] == live[1:]


def test_undone_its_readings_are_withdrawn_and_a_what_if_has_none_of_them() -> None:
    book = repeated().to(300.0)
    seq = next(e.seq for e in book.log if isinstance(e.body, CareGiven) and isinstance(e.body.action, RepeatPressure))
    other = what_if(book.run.setup, book.log, Remove(seq=seq), book.run.tracks.true)
    assert other is not None
    book.now(EntryUndone(target_seq=seq)).to(310.0)
    assert book.run.state.obtained == () and book.run.state.cuff_repeat_s == 0.0
    assert book.run.machine.sensors.cuff_view().repeat_s is None
