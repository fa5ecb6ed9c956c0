"""Time to find a cause: ``python -m benchmarks.find_cause [--json]``.

find_cause_10min_ms       bleeding such that mean pressure is 60 mmHg at 10 min, from Python, on the body alone
find_cause_run_10min_ms   the same within a run of a case: sensors, rules and tracks go along
find_cause_2min_ms        fentanyl such that arterial saturation is 90 % at 2 min
runs                      how many courses the first of them took

Processor time, the best of three: what an idle machine takes.  Goal: 10 minutes under 1,500 ms.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.files.lab_folder import DEMO, LabFolder
from drillyard.adapters.kernel import load_kernel
from drillyard.core.care.problems import Bleeding
from drillyard.core.session.find_cause import Found, Goal, find_cause
from drillyard.core.session.run import Run
from drillyard.core.session.setup import RunSetup, wanted_patient
from drillyard.scripting import healthy


def best_ms(work: Callable[[], object], times: int = 3) -> float:
    """Shortest of several, in milliseconds of processor time."""
    taken = []
    for _ in range(times):
        started = time.process_time()
        work()
        taken.append(time.process_time() - started)
    return 1000.0 * min(taken)


def in_a_run() -> Callable[[], Found]:
    """A search within a run whose patient is well: the car park case without its problems."""
    case = LabFolder(DEMO).scenario("c5-car-park").use()
    setup = RunSetup(
        run_id="benchmark",
        scenario=case,
        manikin=None,
        patient=wanted_patient(case),
        seed=1,
        formulary=packaged_formulary(),
        kernel=load_kernel(),
    )
    run = Run(setup)
    run.advance_to(0)
    for problem in run.state.problems:
        run.machine.body.end_problem(problem.problem)
    goal = Goal(signal="mean_arterial_pressure_mmhg", value=60.0, in_s=600.0)
    wound = Bleeding(name="wound", rate_ml_per_min=1000.0, site="left thigh")
    return lambda: find_cause(run.machine.copy(), goal, wound)


def main() -> int:
    parser = argparse.ArgumentParser(description="Time to find a cause.")
    parser.add_argument("--json", action="store_true", help="print one JSON object on the last line")
    asked = parser.parse_args()
    patient = healthy(seed=7).run("1 min")

    def bleeding() -> Found:
        return patient.find(
            "bleeding",
            signal="mean_arterial_pressure_mmhg",
            value=60,
            at="10 min",
            rate="1000 mL/min",
            site="left thigh",
        )

    def fentanyl() -> Found:
        return patient.find("drug taken", signal="sao2_pct", value=90, at="2 min", drug="fentanyl", dose=5, route="IV")

    figures = {
        "find_cause_10min_ms": best_ms(bleeding),
        "find_cause_run_10min_ms": best_ms(in_a_run()),
        "find_cause_2min_ms": best_ms(fentanyl),
        "runs": float(len(bleeding().search.tried)),
    }
    if asked.json:
        print(json.dumps(figures))
    else:
        for name, value in figures.items():
            print(f"{name:26} {value:10,.1f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
