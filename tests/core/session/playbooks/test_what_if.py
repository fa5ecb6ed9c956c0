"""What-if: one entry added, moved, changed or removed; both courses, and what the measures read."""

from dataclasses import replace

import numpy as np
import pytest

from drillyard.core.care.actions import Attach, ControlBleeding, GiveDrug, MeasurePressure, Other
from drillyard.core.care.problems import AirwayBlockage, Bleeding
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import DeathRule, Rule, SetProblem
from drillyard.core.session.events import (
    CareGiven,
    EntryUndone,
    FindingObtained,
    LateEntry,
    NoteWritten,
    PhaseEntered,
    RuleFired,
    RunEnded,
)
from drillyard.core.session.fold import fold
from drillyard.core.session.what_if import Add, Alteration, Change, Move, Remove, departure, what_if
from tests.core.session.fakes import scenario, setup
from tests.core.session.playbook import Playbook

COLLAPSE = Rule(
    name="collapse",
    when="blood_volume_ml < 4600.0",
    then=(SetProblem(problem=AirwayBlockage(name="tongue", blocked_frac=1.0)),),
)
CASE = scenario(
    problems=(Bleeding(name="thigh", rate_ml_per_min=600.0, site="left thigh"),),
    rules=(COLLAPSE,),
    death=(DeathRule(level="intermediate", policy="may die"),),
)
TOURNIQUET = ControlBleeding(how="tourniquet", site="left thigh")


def care(action: object, text: str = "care") -> CareGiven:
    return CareGiven(action=action, text=text)  # type: ignore[arg-type]


def played() -> Playbook:
    """Attach, measure, a tourniquet at 30 s, a finding told at 50 s, the end at 90 s; some amendments on the way."""
    book = Playbook(setup(CASE)).now(care(Attach(sensor="pressure cuff")))
    book.at(1.0, PhaseEntered(phase="at patient")).at(2.0, care(MeasurePressure()))
    book.at(12.0, care(Other(text="a mistake"))).at(13.0, EntryUndone(target_seq=4))
    book.at(30.0, care(TOURNIQUET, "tourniquet"))
    book.at(40.0, LateEntry(action=GiveDrug(drug="fentanyl", dose=0.1, route="IV"), text="fentanyl", t_s=35.0))
    book.at(50.0, FindingObtained(finding="pressure", value=112.0, text="112/67 mmHg", how="told"))
    return book.at(60.0, NoteWritten(text="well")).at(90.0, RunEnded(reason="handed over", outcome="alive"))


def seq_of(book: Playbook, action: type) -> int:
    return next(e.seq for e in book.log if isinstance(e.body, CareGiven) and isinstance(e.body.action, action))


def test_the_base_is_the_run_that_was() -> None:
    book = played()
    told = what_if(book.run.setup, book.log, Remove(seq=seq_of(book, ControlBleeding)), book.run.tracks.true)
    assert told.departures == ()
    assert told.base.body_hash == book.run.machine.body.state_hash()
    np.testing.assert_array_equal(told.base.tracks.true, book.run.tracks.true)
    assert (told.base.end_s, told.base.outcome) == (90.0, "alive")
    state = fold(told.base.events, CASE.problems)
    assert state.obtained == tuple(
        replace(o, seq=s.seq) for o, s in zip(book.run.state.obtained, state.obtained, strict=True)
    )
    assert state.bleeding_controls == book.run.state.bleeding_controls and state.is_ended


def test_removed_the_patient_goes_another_way_from_there() -> None:
    book = played()
    told = what_if(book.run.setup, book.log, Remove(seq=seq_of(book, ControlBleeding)))
    assert told.from_s == 30.0
    base, other = told.base.tracks.true, told.changed.tracks.true
    np.testing.assert_array_equal(base[:31], other[:31])
    bled = told.changed.tracks.column("blood_volume_ml")[60]
    assert bled < told.base.tracks.column("blood_volume_ml")[60] - 200.0
    assert RuleFired(rule="collapse", text="rule 'collapse'") in [e.body for e in told.changed.events]
    assert not any(isinstance(e.body, RuleFired) for e in told.base.events)


def test_the_log_of_each_course_has_its_amendments_resolved() -> None:
    book = played()
    told = what_if(book.run.setup, book.log, Move(seq=seq_of(book, ControlBleeding), t_s=10.0))
    for course in (told.base, told.changed):
        assert [event.seq for event in course.events] == list(range(1, len(course.events) + 1))
        assert [event.step for event in course.events] == sorted(event.step for event in course.events)
        actions = [e.body.action for e in course.events if isinstance(e.body, CareGiven)]
        assert Other(text="a mistake") not in actions
        fentanyl = next(
            e for e in course.events if isinstance(e.body, CareGiven) and isinstance(e.body.action, GiveDrug)
        )
        assert fentanyl.t_sim_s == 35.0
        assert {e.body.kind for e in course.events}.isdisjoint({"entry undone", "late entry"})
    moved = next(e for e in told.changed.events if isinstance(e.body, CareGiven) and e.body.action == TOURNIQUET)
    assert moved.t_sim_s == 10.0 and told.from_s == 10.0
    assert told.changed.tracks.column("blood_volume_ml")[-1] > told.base.tracks.column("blood_volume_ml")[-1] + 150.0


def test_findings_after_the_change_are_read_from_the_changed_patient() -> None:
    book = played()
    told = what_if(book.run.setup, book.log, Remove(seq=seq_of(book, ControlBleeding)))
    base, changed = (
        [e.body for e in c.events if isinstance(e.body, FindingObtained)] for c in (told.base, told.changed)
    )
    assert base[0] == changed[0], "the cuff cycle was before the change"
    assert (base[1].value, base[1].text) == (112.0, "112/67 mmHg"), "as it was told"
    assert changed[1].value is not None and changed[1].value < 109.0 and "mmHg" in changed[1].text


def test_added_and_changed() -> None:
    book = played()
    added = what_if(book.run.setup, book.log, Add(action=TOURNIQUET, text="tourniquet", t_s=5.0))
    assert added.from_s == 5.0
    moved = what_if(book.run.setup, book.log, Move(seq=seq_of(book, ControlBleeding), t_s=5.0))
    np.testing.assert_array_equal(
        added.changed.tracks.column("blood_volume_ml"), moved.changed.tracks.column("blood_volume_ml")
    )
    half = ControlBleeding(how="packing", site="left thigh", stopped_frac=0.5)
    changed = what_if(book.run.setup, book.log, Change(seq=seq_of(book, ControlBleeding), action=half, text="packing"))
    ends = [w.changed.tracks.column("blood_volume_ml")[-1] for w in (added, changed)]
    assert ends[0] > changed.base.tracks.column("blood_volume_ml")[-1] > ends[1]


def test_a_patient_who_dies_in_the_other_course_ends_it_there() -> None:
    book = Playbook(setup(CASE)).at(5.0, care(TOURNIQUET)).at(400.0, RunEnded(reason="handed over", outcome="alive"))
    told = what_if(book.run.setup, book.log, Remove(seq=1))
    assert (told.base.end_s, told.base.outcome) == (400.0, "alive")
    assert told.changed.outcome == "dead" and told.changed.end_s < 300.0
    endings = [e.body for e in told.changed.events if isinstance(e.body, RunEnded)]
    assert [ending.outcome for ending in endings] == ["dead"]
    assert len(told.changed.tracks) == int(told.changed.end_s) + 1


def test_a_patient_who_died_may_live_in_the_other_course() -> None:
    book = Playbook(setup(CASE)).to(400.0)
    assert book.run.state.outcome == "dead"
    told = what_if(book.run.setup, book.log, Add(action=TOURNIQUET, text="tourniquet", t_s=5.0))
    assert told.changed.outcome == "alive" and told.changed.end_s == told.base.end_s == book.run.t_s


@pytest.mark.parametrize(
    ("alteration", "words"),
    [
        (Remove(seq=99), "entry 99 is none that acted"),
        (Remove(seq=4), "entry 4 is none that acted"),
        (Move(seq=6, t_s=-1.0), "0 to 90 s"),
        (Add(action=TOURNIQUET, text="", t_s=91.0), "0 to 90 s"),
        (Change(seq=2, action=TOURNIQUET, text=""), "is not care"),
    ],
)
def test_what_cannot_be_is_refused(alteration: Alteration, words: str) -> None:
    book = played()
    with pytest.raises(Refusal, match=words):
        what_if(book.run.setup, book.log, alteration)


def test_the_departure_of_another_body_is_told_by_signal() -> None:
    book = played()
    stored = book.run.tracks.true.astype(np.float32)
    assert departure(stored, book.run.tracks) == (), "float32 is no departure"
    column = book.run.tracks.names.index("spo2_pct")
    stored[40, column] += 3.0
    stored[41, column] -= 1.0
    (found,) = departure(stored, book.run.tracks)
    assert (found.signal, found.at_s) == ("spo2_pct", 40.0) and found.largest == pytest.approx(3.0, abs=1e-4)
