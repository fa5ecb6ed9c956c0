"""Problems begin, grow and end; rules act; a run ends by itself."""

from dataclasses import replace

import pytest

from drillyard.core.care.actions import Attach, GiveDrug, MeasurePressure
from drillyard.core.care.problems import AirwayBlockage, Bleeding, Tamponade
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import DeathRule, EndProblem, EndRule, Rule, SetProblem, TellOperator
from drillyard.core.session.events import (
    CareGiven,
    FindingObtained,
    PhaseEntered,
    ProblemEnded,
    ProblemSet,
    RuleFired,
    RunEnded,
    RunStarted,
)
from drillyard.core.session.machine import DEATH_REASON, TIME_CAP_REASON
from drillyard.core.session.run import Run
from drillyard.core.session.setup import PrerollStore
from tests.core.session.fakes import FakeBody, scenario, setup
from tests.core.session.playbook import Playbook

THIGH = Bleeding(name="thigh", rate_ml_per_min=600.0, site="left thigh")


def body_of(book: Playbook | Run) -> FakeBody:
    body = (book.run if isinstance(book, Playbook) else book).machine.body
    assert isinstance(body, FakeBody)
    return body


def test_a_case_begins_with_what_was_lost_before_time_zero() -> None:
    run = Run(setup(scenario(problems=(replace(THIGH, start_s=-60.0),))))
    assert body_of(run).x["step_count"] == 6000
    assert body_of(run).x["blood_ml"] == pytest.approx(5000.0 - 600.0, rel=0.07)
    assert (run.step, run.t_s) == (0, 0.0)


def test_the_way_to_time_zero_is_gone_once_for_all_runs_of_a_setup() -> None:
    made = setup(scenario(problems=(replace(THIGH, start_s=-60.0, over_s=90.0),)))
    first = Run(made)
    steps: list[int] = []
    original = FakeBody.advance

    class Counted(FakeBody):
        def advance(self, n_steps: int, waves: object = None) -> None:
            steps.append(n_steps)
            original(self, n_steps, waves)

    second = Run(replace(made, make_body=lambda setup: Counted(setup.seed)))
    assert not steps
    assert body_of(second).state_hash() == body_of(first).state_hash()
    first.advance_to(6000)
    second.advance_to(6000)
    assert body_of(second).state_hash() == body_of(first).state_hash(), "it goes on growing after time zero alike"
    assert body_of(first).x["bleeding"] == 600.0
    assert Run(replace(made, preroll=PrerollStore(), make_body=lambda setup: Counted(setup.seed))) and steps


def test_a_problem_grows_smoothly_from_its_start_and_is_whole_after() -> None:
    book = Playbook(setup(scenario(problems=(replace(THIGH, start_s=10.0, over_s=20.0),))))
    assert body_of(book.to(9.5)).x["bleeding"] == 0.0
    assert body_of(book.to(20.0)).x["bleeding"] == pytest.approx(300.0), "half its size at half its time"
    assert body_of(book.to(15.0 + 5.0)).x["bleeding"] < body_of(book.to(25.0)).x["bleeding"] < 600.0
    assert body_of(book.to(30.0)).x["bleeding"] == 600.0


def test_a_problem_that_is_set_again_grows_from_the_size_it_has() -> None:
    book = Playbook(setup(scenario(problems=(THIGH,))))
    book.at(10.0, ProblemSet(problem=replace(THIGH, rate_ml_per_min=200.0, over_s=10.0), reason="steer"))
    assert body_of(book.to(15.0)).x["bleeding"] == pytest.approx(400.0)
    book.now(ProblemSet(problem=replace(THIGH, rate_ml_per_min=800.0, over_s=10.0)))
    assert body_of(book).x["bleeding"] == pytest.approx(400.0), "no jump"
    assert body_of(book.to(25.0)).x["bleeding"] == pytest.approx(800.0)
    book.now(ProblemEnded(name="thigh"))
    assert body_of(book).x["bleeding"] == 0.0
    assert [p.is_ended for p in book.run.state.problems] == [True]
    book.now(ProblemEnded(name="knee"))
    assert book.run.take_advice()[-1][1] == "there is no problem 'knee' to end"


def test_what_a_rule_does_acts_at_once_and_is_wanted() -> None:
    rule = Rule(
        name="worse",
        when="blood_volume_ml < 4900.0",
        held_for_s=3.0,
        why="he has lost a lot",
        then=(
            SetProblem(problem=AirwayBlockage(name="tongue", blocked_frac=0.5, start_s=4.0)),
            EndProblem(name="thigh"),
            TellOperator(text="He is getting drowsy."),
        ),
    )
    book = Playbook(setup(scenario(problems=(THIGH,), rules=(rule,)))).to(30.0)
    assert book.kinds() == ["rule fired", "problem ended", "problem set"]
    fired, ended, began = book.wanted
    assert fired.body == RuleFired(rule="worse", text="He is getting drowsy.")
    assert fired.step % 100 == 0 and ended.step == fired.step and began.step == fired.step + 400
    assert all(wanted.source == "rule" and wanted.actor == "core" for wanted in book.wanted)
    assert body_of(book).x["bleeding"] == 0.0 and body_of(book).x["blocked"] == 0.5
    assert book.run.mismatches == [] and book.run.pending_wanted() == []
    assert {p.problem.name: p.by for p in book.run.state.problems} == {"thigh": "case", "tongue": "rule"}


def test_a_rule_reads_what_was_done_obtained_and_the_phase() -> None:
    rules = (
        Rule(name="drug", when='done["give drug fentanyl"]', then=(TellOperator(text="drug"),)),
        Rule(name="pressure", when='obtained["blood pressure"]', then=(TellOperator(text="pressure"),)),
        Rule(name="phase", when='phase == "at patient"', then=(TellOperator(text="phase"),)),
    )
    book = Playbook(setup(scenario(rules=rules)))
    book.at(2.0, PhaseEntered(phase="at patient"))
    book.at(5.0, CareGiven(action=GiveDrug(drug="fentanyl", dose=0.1, route="IV"), text="fentanyl"))
    book.at(8.0, FindingObtained(finding="blood pressure", text="90/60", how="told")).to(12.0)
    assert [(w.body.text, w.t_sim_s) for w in book.wanted if isinstance(w.body, RuleFired)] == [
        ("phase", 3.0), ("drug", 6.0), ("pressure", 9.0),
    ]  # fmt: skip


def test_a_cuff_cycle_ends_in_a_finding_of_the_crew() -> None:
    book = Playbook(setup())
    book.at(1.0, CareGiven(action=Attach(sensor="pressure cuff"), text="cuff on"))
    book.at(3.0, CareGiven(action=MeasurePressure(), text="measure")).to(30.0)
    (wanted,) = book.wanted
    assert isinstance(wanted.body, FindingObtained) and wanted.body.value == 120.0
    assert wanted.t_sim_s == 23.0 and wanted.source == "clock"
    assert wanted.body.text.startswith("120/80, mean 95 mmHg") and wanted.body.requested_t_s == 3.0
    assert [one.finding for one in book.run.state.obtained] == ["pressure"]


def test_death_ends_the_run_only_where_the_case_declares_it() -> None:
    choked = AirwayBlockage(name="choked", blocked_frac=1.0)
    declared = (DeathRule(level="intermediate", policy="may die"),)
    dies = Playbook(setup(scenario(problems=(choked,), death=declared))).to(200.0)
    assert dies.run.is_ended and dies.run.t_s < 200.0
    assert dies.wanted[-1].body == RunEnded(reason=DEATH_REASON, outcome="dead")
    assert dies.run.state.outcome == "dead" and not dies.run.state.is_running
    warned = Playbook(setup(scenario(problems=(choked,)))).to(200.0)
    assert not warned.run.is_ended and warned.kinds() == ["rule fired"]
    ends = (DeathRule(level="intermediate", policy="ends at arrest"),)
    arrested = Playbook(setup(scenario(problems=(choked,), death=ends))).to(200.0)
    assert arrested.run.state.outcome == "arrested" and arrested.run.t_s < dies.run.t_s


def test_the_time_cap_ends_the_run_where_wanted_and_else_is_told() -> None:
    case = scenario(time_cap_s=20.0)
    told = Playbook(setup(case)).to(30.0)
    assert not told.run.is_ended and told.kinds() == ["rule fired"]
    ended = Playbook(setup(case, ends_at_time_cap=True)).to(30.0)
    assert ended.wanted[-1].body == RunEnded(reason=TIME_CAP_REASON, outcome="alive") and ended.run.t_s == 20.0


def test_after_the_end_the_patient_stands_still_and_only_notes_are_taken() -> None:
    rule = EndRule(name="enough", when="t_s >= 10.0", reason="enough seen", ends_run=True)
    book = Playbook(setup(scenario(problems=(THIGH,), ends=(rule,)))).to(60.0)
    assert book.run.t_s == 10.0 and book.kinds() == ["rule fired", "run ended"]
    before = body_of(book).state_hash()
    assert book.run.advance_to(9000) == [] and body_of(book).state_hash() == before
    with pytest.raises(Refusal, match="run has ended"):
        book.now(CareGiven(action=GiveDrug(drug="fentanyl", dose=0.1, route="IV"), text="late"))


def test_a_problem_that_no_body_can_have_is_refused_before_the_run() -> None:
    with pytest.raises(Refusal, match="tamponade"):
        Run(setup(scenario(problems=(Tamponade(name="t", volume_ml=200.0, start_s=-10.0),))))
    later = Playbook(setup(scenario(problems=(Tamponade(name="t", volume_ml=200.0, start_s=5.0),)))).to(10.0)
    assert "tamponade" in later.run.take_advice()[0][1], "and told to the operator when it would begin later"


def test_a_run_that_starts_is_running() -> None:
    book = Playbook(setup()).now(
        RunStarted(scenario="s", scenario_hash="1", manikin="m", manikin_hash="2", body_hash="3", seed=7)
    )
    assert book.run.state.is_running and book.run.state.started is not None
