"""Find the cause on the real body: what is found leads there when it is set; what cannot be is said."""

import numpy as np
import pytest

from drillyard.core.care.actions import GiveDrug
from drillyard.core.care.problems import Arrest, Bleeding, DrugTaken, Problem
from drillyard.core.quantities.faults import Refusal
from drillyard.core.session.events import EntryUndone, HoldReleased, HoldSet, ProblemSet
from drillyard.core.session.find_cause import AROUND_S, Found, Goal, NotWanted, find_cause
from drillyard.core.session.look_ahead import look_ahead
from drillyard.core.session.run import replay
from drillyard.core.session.what_if import Remove, what_if
from drillyard.scripting import healthy
from tests.core.session.playbook import Playbook
from tests.core.session.test_with_the_body import care, setup

WOUND = Bleeding(name="second wound", rate_ml_per_min=800.0, site="belly", hidden=True)


def test_bleeding_for_a_pressure_of_60_at_10_minutes_leads_there() -> None:
    one = healthy(seed=7).run("30 s")
    before = one.body.state_hash()
    found = one.find(
        "bleeding", signal="mean_arterial_pressure_mmhg", value=60, at="10 min", rate="1000 mL/min", site="left thigh"
    )
    assert found.is_reached
    assert one.body.state_hash() == before, "nothing has happened to the patient himself"
    assert len(found.search.tried) <= 12
    # a class III to IV loss in ten minutes (1.5 to 2.5 L; common teaching, no source)
    assert 150.0 < found.size < 350.0
    one.wrong_as(found)
    course = one.course(["mean_arterial_pressure_mmhg"], f"{600 + AROUND_S} s")
    around = course["mean_arterial_pressure_mmhg"][600 - AROUND_S :]
    assert float(around.mean()) == pytest.approx(60.0, abs=1.0)
    assert f"{found.size:.3g} mL/min gives" in found.sentence()


def test_fentanyl_for_a_saturation_of_90_at_2_minutes_leads_there() -> None:
    one = healthy(seed=7).run("30 s")
    found = one.find("drug taken", signal="sao2_pct", value=90, at="2 min", drug="fentanyl", dose=5, route="IV")
    assert found.is_reached
    # apnoea from some 0.2 mg on in a patient who has not met opioids (order, from memory)
    assert 0.1 < found.size < 1.0
    one.wrong_as(found)
    assert one.course(["sao2_pct"], "2 min").at("sao2_pct", 120.0) == pytest.approx(90.0, abs=1.0)


def test_of_a_course_that_turns_both_crossings_are_told() -> None:
    found = healthy(seed=7).find(
        "bleeding", signal="heart_rate_per_min", value=110, at="10 min", rate="1000 mL/min", site="left thigh"
    )
    assert found.is_reached
    assert len(found.search.others) == 1
    assert "this is the smallest size that does" in found.sentence()


def test_what_cannot_be_reached_is_said_with_the_nearest() -> None:
    found = healthy(seed=7).find(
        "bleeding", signal="mean_arterial_pressure_mmhg", value=140, at="60 s", rate="1000 mL/min", site="left thigh"
    )
    assert not found.is_reached
    assert "cannot be 140 mmHg at 1 min by sizes up to 1000 mL/min" in found.sentence()
    assert "Nearest:" in found.sentence()


@pytest.mark.parametrize(
    ("goal", "problem", "said"),
    [
        (Goal(signal="map", value=60.0, in_s=600.0), WOUND, "there is no signal 'map'"),
        (Goal(signal="spo2_pct", value=160.0, in_s=600.0), WOUND, "is never 160"),
        (Goal(signal="spo2_pct", value=90.0, in_s=5.0), WOUND, "30 s to 60 min"),
        (Goal(signal="spo2_pct", value=90.0, in_s=60.0), Arrest(name="stop", rhythm="asystole"), "has no size to find"),
    ],
)
def test_what_makes_no_sense_is_refused(goal: Goal, problem: Problem, said: str) -> None:
    with pytest.raises(Refusal, match=said):
        find_cause(Playbook(setup()).to(2.0).run.machine.copy(), goal, problem)


def in_run(book: Playbook, value: float = 70.0, in_s: float = 120.0) -> Found:
    goal = Goal(signal="mean_arterial_pressure_mmhg", value=value, in_s=in_s)
    return find_cause(book.run.machine.copy(), goal, WOUND)


def test_in_a_run_it_leads_there_too_and_the_run_knows_nothing_of_the_search() -> None:
    book = Playbook(setup()).to(20.0)
    before = book.run.machine.body.state_hash()
    now = book.run.signals()["mean_arterial_pressure_mmhg"]
    found = in_run(book, value=round(now - 12.0))
    assert found.is_reached
    assert found.ahead is not None
    assert found.ahead.from_s == 21.0
    assert book.run.machine.body.state_hash() == before
    book.now(ProblemSet(problem=found.problem, reason="found")).to(20.0 + 120.0 + AROUND_S)
    course = book.run.tracks.column("mean_arterial_pressure_mmhg")
    around = course[140 - AROUND_S : 140 + AROUND_S + 1]
    assert float(np.mean(around)) == pytest.approx(found.goal.value, abs=1.0)
    # the course that was shown is the course that came
    shown = found.ahead.column("mean_arterial_pressure_mmhg")
    np.testing.assert_allclose(shown, course[21 : 21 + 5 * len(shown) : 5], rtol=1e-6)
    book.now(EntryUndone(target_seq=book.log[-1].seq))
    never = Playbook(setup()).to(book.run.t_s)
    assert book.run.machine.body.state_hash() == never.run.machine.body.state_hash()


def test_a_problem_that_is_there_takes_the_sizes_in_its_place() -> None:
    book = Playbook(setup()).now(ProblemSet(problem=WOUND)).to(10.0)
    found = in_run(book, value=30.0, in_s=300.0)
    lost = {tried.share: tried.value for tried in found.search.tried}
    assert lost[0.0] > lost[1.0], "the share 0 is the patient without that wound"


def test_a_drug_in_a_run_is_a_dose_of_its_own() -> None:
    book = Playbook(setup()).at(5.0, care(GiveDrug(drug="fentanyl", dose=25.0, dose_unit="ug", route="IV"))).to(10.0)
    goal = Goal(signal="spontaneous_rate_per_min", value=8.0, in_s=90.0)
    dose = DrugTaken(name="fentanyl taken", drug="fentanyl", dose=2.0, route="IV")
    found = find_cause(book.run.machine.copy(), goal, dose)
    assert 0.0 < found.size < 1.0
    assert abs(found.value - 8.0) < 2.0


def test_a_search_can_be_called_off() -> None:
    goal, machine = Goal(signal="spo2_pct", value=90.0, in_s=60.0), Playbook(setup()).to(2.0).run.machine.copy()
    with pytest.raises(NotWanted):
        find_cause(machine, goal, WOUND, is_wanted=lambda: False)


def test_a_held_outcome_is_the_same_in_replay_look_ahead_and_what_if() -> None:
    book = Playbook(setup()).at(10.0, HoldSet(what="mean pressure", value=60.0, display_only=False, by="pump failure"))
    book.at(12.35, HoldSet(what="oxygen saturation", value=80.0, display_only=False, by="shunt")).to(60.0)
    ahead = look_ahead(book.run.branch(), minutes=1.0, dt_s=1)
    assert ahead is not None
    book.to(125.0)
    np.testing.assert_array_equal(
        ahead.column("mean_arterial_pressure_mmhg"), book.run.tracks.column("mean_arterial_pressure_mmhg")[61:121]
    )
    book.now(HoldReleased(what="mean pressure", over_s=20.0)).to(150.0)
    again = replay(setup(), book.log, 15_000)
    assert again.machine.body.state_hash() == book.run.machine.body.state_hash()
    done = what_if(setup(), book.log, Remove(seq=2), np.asarray(book.run.tracks.true))
    np.testing.assert_array_equal(done.base.tracks.true, book.run.tracks.true)
    assert not np.array_equal(done.changed.tracks.true, book.run.tracks.true)
