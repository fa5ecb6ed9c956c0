"""A 20-minute run of the tractor case, played by the good crew, for the benchmarks of replay and look-ahead."""

import time
from dataclasses import replace
from datetime import UTC, datetime
from functools import lru_cache

from drillyard.adapters.files.crew_files import read_crew
from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.files.lab_names import known_names
from drillyard.adapters.kernel import load_kernel
from drillyard.core.proving import rehearse
from drillyard.core.session.events import STEPS_PER_S, Event, RunStarted
from drillyard.core.session.look_ahead import look_ahead
from drillyard.core.session.run import replay
from drillyard.core.session.setup import PrerollStore, RunSetup
from drillyard.service.case import Case
from drillyard.service.desk import Desk

RUN_S = 20 * 60


@lru_cache(maxsize=1)
def played() -> tuple[RunSetup, tuple[Event, ...]]:
    """Setup and log of the run, pre-rolled once, with the numba kernel."""
    known = known_names()
    lab = LabFolder(DEMO, known)
    plan = lab.scenario("c8-tractor").use()
    # the run goes on for its whole twenty minutes, whatever the crew has finished by then
    plan = replace(plan, time_cap_s=float(RUN_S + 60), ends=())
    profile = lab.manikin("adult-manikin-a").use().today()
    case = Case(scenario=plan, profile=profile, kit=lab.kit(plan.kit).use(), formulary=packaged_formulary())
    file = lab.file("crews", "c8-tractor-good")
    crew = read_crew(file, "crews/c8-tractor-good.yaml", plan, case.at_hand, known).use()
    setup = case.setup("benchmark", 1, load_kernel("numba"), PrerollStore(), is_live=False)
    started = RunStarted(
        scenario=plan.name,
        scenario_hash="",
        manikin=profile.name,
        manikin_hash="",
        body_hash=setup.make_body(setup).model_hash(),
        seed=1,
    )
    done = rehearse(
        setup, crew, lambda run: Desk(case, run, ()), case.ways, started=started, started_wall=datetime.now(UTC)
    )
    ended = [event for event in done.run.events if event.body.kind != "run ended"]
    return setup, tuple(ended)


def replay_ms() -> float:
    """Milliseconds to replay 20 minutes from the log: body, rules, sensors, facts and stored tracks."""
    setup, events = played()
    best = float("inf")
    for _ in range(15):
        started = time.perf_counter()
        run = replay(setup, events, RUN_S * STEPS_PER_S)
        best = min(best, time.perf_counter() - started)
        if run.step < RUN_S * STEPS_PER_S:
            raise RuntimeError(f"the replay stopped at {run.t_s:.0f} s")
    return best * 1000.0


def look_ahead_ms() -> float:
    """Milliseconds for five minutes ahead from minute eight."""
    setup, events = played()
    run = replay(setup, [event for event in events if event.step <= 480 * STEPS_PER_S], 480 * STEPS_PER_S)
    best = float("inf")
    for _ in range(15):
        branch = run.branch()
        started = time.perf_counter()
        look_ahead(branch, minutes=5.0)
        best = min(best, time.perf_counter() - started)
    return best * 1000.0
