"""A simulated crew over the small patient of the session tests, whose arithmetic is known.

The small patient: pressure is 120 x blood / 5000; a wound of r mL/min bleeds r x blood / 5000; oxygen falls towards 0
with a time constant of a minute when the airway is blocked.
"""

from datetime import UTC, datetime
from typing import Any

import pytest

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.core.care import actions as care
from drillyard.core.care.problems import AirwayBlockage, Bleeding
from drillyard.core.manikin.profile import Profile
from drillyard.core.measures import compute
from drillyard.core.proving import Crew, CrewStep, Rehearsal, outcome_of, rehearse, story_lines, summary_lines
from drillyard.core.scenario.model import DeathRule, EndRule
from drillyard.core.session.events import CareGiven, FindingObtained, PhaseEntered, RunEnded, RunStarted
from drillyard.core.session.run import replay
from drillyard.service.case import Case
from drillyard.service.desk import Desk
from tests.core.session.fakes import scenario, setup

FORMULARY = packaged_formulary()
BLEEDS = (Bleeding(name="wound", site="left thigh", rate_ml_per_min=600.0),)


def crew(*steps: CrewStep) -> Crew:
    return Crew(format=1, name="small-case-good", title="A crew", scenario="small-case", care="good", steps=steps)


def at(t: str, do: str, **more: Any) -> CrewStep:
    return CrewStep(at=t, do=do, **more)


def played(*steps: CrewStep, **changes: Any) -> Rehearsal:
    plan = scenario(**({"time_cap_s": 120.0} | changes))
    case = Case(
        scenario=plan,
        profile=Profile(format=1, name="m", title="m", findings=(), procedures=()),
        kit=None,
        formulary=FORMULARY,
    )
    started = RunStarted(
        scenario=plan.name, scenario_hash="s", manikin="m", manikin_hash="m", body_hash="small-1", seed=7
    )
    return rehearse(
        setup(plan),
        crew(*steps),
        lambda run: Desk(case, run),
        case.ways,
        started=started,
        started_wall=datetime(2026, 5, 4, 9, 0, tzinfo=UTC),
    )


def cares(rehearsal: Rehearsal) -> list[tuple[float, Any]]:
    return [(e.t_sim_s, e.body.action) for e in rehearsal.run.events if isinstance(e.body, CareGiven)]


def test_steps_act_at_their_times_in_order_and_through_the_entry_line() -> None:
    done = cares(played(at("0:30", "tq l thigh"), at("0:10", "look bleeding"), at("10.02 s", "probe on")))
    assert [t_s for t_s, _ in done] == [10.0, 10.05, 30.0]
    assert done[2][1] == care.ControlBleeding(how="tourniquet", site="left thigh")


def test_care_reaches_the_body() -> None:
    """Blood is 5000 exp(-600 t / 60 / 5000): 4708.8 mL after 30 s, when the tourniquet stops it."""
    bled = played(problems=BLEEDS)
    stopped = played(at("0:30", "tq l thigh"), problems=BLEEDS)
    lost = [r.run.tracks.column("blood_volume_ml") for r in (bled, stopped)]
    assert lost[0][120] < 4000 < lost[1][120]
    assert lost[1][30] == pytest.approx(4708.8, abs=0.1)
    assert lost[1][120] == lost[1][30]


def test_a_condition_is_met_on_what_the_crew_can_know() -> None:
    """The radial pulse goes at a pressure of 70: blood 5000 x 70 / 120 = 2917 mL, 5000 exp(-t / 500 s) -> 269.5 s.

    It is looked at each whole second (270 s), and the crew takes 12 s.
    """
    step = CrewStep(when="pulse_radial_frac <= 0.0", within_s=12.0, do="tq l thigh")
    assert [t_s for t_s, _ in cares(played(step, problems=BLEEDS, time_cap_s=400.0))] == [282.0]


def test_a_number_is_not_known_before_it_stands_on_the_monitor() -> None:
    """Oxygen falls at once, but the probe is put on at 60 s; this one shows at once."""
    blocked = (AirwayBlockage(name="tongue", blocked_frac=1.0),)
    never = CrewStep(when="spo2_pct < 90.0", do="bag 10")
    assert cares(played(never, problems=blocked)) == []
    seen = played(at("1:00", "probe on"), never, problems=blocked)
    assert [t_s for t_s, action in cares(seen) if isinstance(action, care.Ventilate)] == [60.0]


def test_a_step_acts_once() -> None:
    step = CrewStep(when="t_s > 10.0", do="look skin")
    assert len(cares(played(step))) == 1


def test_a_look_brings_the_finding_or_the_answer_some_seconds_later() -> None:
    """This room shows nothing on the manikin, so the operator tells it four seconds after the question."""
    rehearsal = played(at("0:10", "feel radial"))
    got = [(e.t_sim_s, e.body.finding) for e in rehearsal.run.events if isinstance(e.body, FindingObtained)]
    assert got == [(14.0, "radial pulse")]


def test_a_line_that_cannot_be_entered_is_told_and_the_crew_goes_on() -> None:
    rehearsal = played(at("0:10", "bag stop"), at("0:20", "zoramicol 5 mg iv"), at("0:30", "cpr"))
    assert [t_s for t_s, _ in cares(rehearsal)] == [10.0, 30.0]
    assert [(n.t_s, n.what) for n in rehearsal.not_done] == [(20.0, "zoramicol 5 mg iv")]
    assert any("not done: zoramicol" in line for line in story_lines(rehearsal))


def test_an_unusual_dose_is_given_only_with_confirm() -> None:
    usual = "epi 10 mg iv"
    rehearsal = played(at("0:10", usual), at("0:20", usual, confirm=True))
    assert [(t_s, a.confirmed_unusual) for t_s, a in cares(rehearsal)] == [(20.0, True)]
    assert "usual" in rehearsal.not_done[0].fault.sentence()


def test_the_run_ends_at_its_time_cap() -> None:
    rehearsal = played(time_cap_s=30.0)
    last = rehearsal.run.events[-1]
    assert isinstance(last.body, RunEnded) and last.t_sim_s == 30.0 and last.body.outcome == "alive"
    assert outcome_of(rehearsal).end_reason == "the time of the case is up"


def test_the_case_may_end_the_run_and_the_crew_stops() -> None:
    """The rule is looked at on the next whole second."""
    ends = (EndRule(name="over", when='phase == "end"', reason="handed over", ends_run=True),)
    rehearsal = played(CrewStep(at="0:20", phase="end"), at("0:40", "cpr"), ends=ends)
    assert rehearsal.run.events[-1].t_sim_s == 21.0 and cares(rehearsal) == []
    assert [e.t_sim_s for e in rehearsal.run.events if isinstance(e.body, PhaseEntered)] == [20.0]


def test_death_is_found_and_counted() -> None:
    """Oxygen falls as exp(-t / 60 s) x 98: below 40 (no pulse) after 53.8 s, below 20 (dead) after 95.4 s."""
    rehearsal = played(
        problems=(AirwayBlockage(name="tongue", blocked_frac=1.0),),
        death=(DeathRule(level="intermediate", policy="may die"),),
    )
    outcome = outcome_of(rehearsal)
    assert outcome.outcome == "dead" and outcome.arrest_at_s == 54.0 and outcome.end_s == 96.0
    assert outcome.lowest_spo2_pct == pytest.approx(19.8, abs=0.1)
    assert outcome.lowest_map_mmhg == 90.0
    assert any("dead" in line for line in summary_lines(outcome, []))


def test_the_same_crew_gives_the_same_log_and_body() -> None:
    one, two = (played(at("0:30", "tq l thigh"), at("0:31", "feel radial"), problems=BLEEDS) for _ in range(2))
    assert one.run.events == two.run.events
    assert outcome_of(one) == outcome_of(two)


def test_its_log_replays_to_the_same_body_without_a_mismatch() -> None:
    rehearsal = played(at("0:30", "tq l thigh"), at("0:40", "bp l arm"), problems=BLEEDS)
    again = replay(setup(rehearsal.run.setup.scenario), rehearsal.run.events, rehearsal.run.step)
    assert again.mismatches == [] and again.pending_wanted() == []
    assert again.machine.body.state_hash() == rehearsal.run.machine.body.state_hash()


def test_measures_read_its_log() -> None:
    """At patient 5 s, tourniquet 30 s: measure 59 is 25 s."""
    rehearsal = played(
        CrewStep(at="0:05", phase="at patient"), at("0:30", "tq l thigh"), problems=BLEEDS, measures=(59,)
    )
    run = rehearsal.run
    result = next(r for r in compute(run.events, run.tracks, run.setup.scenario, FORMULARY) if r.id == 59)
    assert (result.value, result.status) == (25.0, "met")


def test_the_story_tells_events_and_numbers_in_order_of_time() -> None:
    lines = story_lines(played(at("0:30", "tq l thigh"), problems=BLEEDS))
    assert lines[0].startswith(" 0:00  [patient: HR")
    assert " 0:30  Tourniquet, left thigh" in lines
    times = [int(line[:2]) * 60 + int(line[3:5]) for line in lines]
    assert times == sorted(times)


def test_wall_times_follow_the_start() -> None:
    rehearsal = played(at("0:30", "cpr"))
    event = next(e for e in rehearsal.run.events if isinstance(e.body, CareGiven))
    assert event.t_wall_utc == "2026-05-04T09:00:30+00:00"
