"""Look-ahead: what comes if nothing more is done, and when."""

import pytest

from drillyard.core.care.actions import Ventilate
from drillyard.core.care.problems import AirwayBlockage, Bleeding
from drillyard.core.scenario.model import DeathRule
from drillyard.core.session.events import CareGiven
from drillyard.core.session.look_ahead import LIMITS, TRACK_SIGNALS, look_ahead
from tests.core.session.fakes import scenario, setup
from tests.core.session.playbook import Playbook

CHOKED = scenario(
    problems=(AirwayBlockage(name="choked", blocked_frac=1.0), Bleeding(name="leg", rate_ml_per_min=600.0, site="leg")),
    death=(DeathRule(level="intermediate", policy="may die"),),
)


def test_it_tells_when_each_limit_is_crossed_and_the_run_itself_agrees() -> None:
    book = Playbook(setup(CHOKED)).to(3.35)
    ahead = look_ahead(book.run.branch(), minutes=4.0)
    assert ahead is not None and ahead.crossings
    book.to(240.0)
    for crossing in ahead.crossings:
        if crossing.limit.signal in book.run.tracks.names:
            track = book.run.tracks.column(crossing.limit.signal)
            at = int(crossing.t_s)
            assert crossing.limit.is_crossed(track[at]) and not crossing.limit.is_crossed(track[at - 1])
    texts = [crossing.limit.text for crossing in ahead.crossings]
    assert texts.index("SpO2 below 90 %") < texts.index("SpO2 below 80 %") < texts.index("death")
    assert [crossing.t_s for crossing in ahead.crossings] == sorted(crossing.t_s for crossing in ahead.crossings)
    assert ahead.crossings[-1].t_s == book.run.t_s, "it ends where the run ended"


def test_rows_are_evenly_spaced_from_its_start_and_are_those_of_the_run() -> None:
    book = Playbook(setup(CHOKED)).to(10.0)
    ahead = look_ahead(book.run.machine.copy(), minutes=1.0, dt_s=5)
    assert ahead is not None and (ahead.from_s, ahead.dt_s, ahead.names) == (11.0, 5.0, TRACK_SIGNALS)
    book.to(70.0)
    for row, value in enumerate(ahead.column("spo2_pct")):
        assert value == book.run.tracks.column("spo2_pct")[11 + 5 * row]
    assert len(ahead.values) == 12


def test_what_is_in_progress_goes_on() -> None:
    book = Playbook(setup(CHOKED)).at(5.0, CareGiven(action=Ventilate(rate_per_min=12.0), text="bag")).to(6.0)
    ahead = look_ahead(book.run.branch(), minutes=2.0)
    assert ahead is not None and "SpO2 below 90 %" not in [crossing.limit.text for crossing in ahead.crossings]


def test_looking_does_not_disturb() -> None:
    book = Playbook(setup(CHOKED)).to(20.0)
    before = (book.run.machine.body.state_hash(), book.run.step, len(book.run.tracks), book.run.state)
    look_ahead(book.run.branch(), minutes=3.0)
    assert (book.run.machine.body.state_hash(), book.run.step, len(book.run.tracks), book.run.state) == before
    quiet = Playbook(setup(CHOKED)).to(40.0)
    assert book.to(40.0).run.machine.body.state_hash() == quiet.run.machine.body.state_hash()


def test_one_that_is_not_wanted_any_more_gives_up() -> None:
    asked = []

    def is_wanted() -> bool:
        asked.append(1)
        return len(asked) < 3

    assert look_ahead(Playbook(setup()).to(1.0).run.branch(), minutes=10.0, is_wanted=is_wanted) is None
    assert len(asked) == 3


def test_a_limit_that_is_crossed_already_is_no_news() -> None:
    book = Playbook(setup(CHOKED)).to(60.0)
    ahead = look_ahead(book.run.branch(), minutes=2.0)
    assert ahead is not None
    now = book.run.signals()
    crossed = {limit.text for limit in LIMITS if limit.is_crossed(now[limit.signal])}
    assert crossed and not crossed & {crossing.limit.text for crossing in ahead.crossings}


def test_an_ended_run_has_nothing_ahead() -> None:
    book = Playbook(setup(CHOKED)).to(400.0)
    ahead = look_ahead(book.run.branch(), minutes=2.0)
    assert book.run.is_ended and ahead is not None
    assert len(ahead.values) == 0 and ahead.crossings == () and ahead.from_s == pytest.approx(book.run.t_s)
