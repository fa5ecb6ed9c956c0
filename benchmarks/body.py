"""Speed and step error of the body: ``python -m benchmarks.body [--json]``.

Figures (last line of output with ``--json``; null with a reason where one could not be measured):

x_real_time         simulated over real seconds, one patient, one core, bleeding and drugged
share_of_c          speed over the same equations by the machine's C compiler (-O3 -march=native -ffp-contract=off)
map_error_mmhg      largest difference of per-second mean arterial pressure to a 0.05 ms reference
sao2_error_pct      largest difference of arterial saturation to the same reference
replay_20min_ms     a 20-minute run with events, rules and stored tracks, from its log
look_ahead_5min_ms  five minutes ahead from the middle of that run
snapshot_bytes      size of a snapshot
"""

import argparse
import json
import sys
import time
from collections.abc import Callable

import numpy as np

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.kernel import load_kernel
from drillyard.adapters.kernel.compiled import numba_kernel
from drillyard.adapters.kernel.yardstick import c_kernel
from drillyard.core.body.assembly import body_model
from drillyard.core.body.body import STEPS_PER_S, Body
from drillyard.core.body.patient import Patient
from drillyard.core.care.actions import GiveDrug, GiveOxygen
from drillyard.core.care.problems import Bleeding, Pneumothorax
from drillyard.core.numerics.assembler import finer
from drillyard.core.numerics.kernel import Kernel

ADULT = Patient(age_years=38.0, sex="male", mass_kg=80.0, height_cm=178.0)
Figures = dict[str, float | None]


def troubled(kernel: Kernel) -> Body:
    """A patient who bleeds, has a tension pneumothorax, oxygen and an opioid: everything is at work."""
    body = Body.healthy(ADULT, 3, packaged_formulary(), kernel)
    body.set_problem(Bleeding(name="thigh", rate_ml_per_min=120.0, site="left thigh"))
    body.set_problem(Pneumothorax(name="chest", side="left", leak_ml_per_s_per_cmh2o=0.5))
    body.apply(GiveOxygen(device="reservoir mask", flow_l_per_min=15.0))
    body.apply(GiveDrug(drug="fentanyl", dose=50.0, dose_unit="ug", route="IV"))
    return body


def best_of(times: int, work: Callable[[], None]) -> float:
    """Shortest of several runs, in seconds: the one least disturbed by other work."""
    taken = []
    for _ in range(times):
        started = time.perf_counter()
        work()
        taken.append(time.perf_counter() - started)
    return min(taken)


def seconds_for(kernel: Kernel, simulated_s: int = 300) -> float:
    start = troubled(kernel)
    none = np.zeros((0, len(kernel.layout.wave_names)))

    def work() -> None:
        x = start.x.copy()
        kernel.advance(x, start.p, simulated_s * STEPS_PER_S, none)

    return best_of(25, work)


def step_error() -> tuple[float, float]:
    """Largest error of mean arterial pressure and arterial saturation over five minutes of bleeding and apnoea.

    The reference has fast steps of 0.05 ms; it is compiled by C where that is at hand, being the same to the bit.
    """
    coarse = load_kernel("numba")
    finest = finer(body_model(), 67)
    fine = c_kernel(finest) or numba_kernel(finest)
    results = []
    for kernel in (coarse, fine):
        body = Body.healthy(ADULT, 3, packaged_formulary(), coarse)
        body.kernel = kernel
        # the breathing rate is held: where in its breath the patient stands when breathing stops sets how much oxygen
        # the lungs hold, and a rate that differs in the fourth place shifts that place after two minutes
        body.hold("breathing rate", 15.0)
        body.advance(60 * STEPS_PER_S)
        body.set_problem(Bleeding(name="thigh", rate_ml_per_min=200.0, site="left thigh"))
        pressures, saturations = [], []
        for second in range(300):
            if second == 120:
                body.set_control("paralysed", 1.0)
            if second == 170:
                body.set_control("paralysed", 0.0)
            body.advance(STEPS_PER_S)
            pressures.append(body.read("mean_arterial_pressure_mmhg"))
            saturations.append(body.read("sao2_pct"))
        results.append((np.array(pressures), np.array(saturations)))
    (map_a, sao2_a), (map_b, sao2_b) = results
    # means of whole beats, smoothed over five seconds (about a breath): which beat was the last one does not count
    smooth = np.ones(5) / 5.0
    error = np.abs(np.convolve(map_a - map_b, smooth, mode="valid"))
    return float(error.max()), float(np.abs(sao2_a - sao2_b).max())


def run_figures() -> tuple[float, float]:
    """Replay of a 20-minute run and a five-minute look-ahead, in milliseconds."""
    from benchmarks.demo_run import look_ahead_ms, replay_ms

    return replay_ms(), look_ahead_ms()


def measure() -> tuple[Figures, list[str]]:
    """All figures, and a reason for each that is null."""
    reasons: list[str] = []
    kernel = load_kernel("numba")
    taken = seconds_for(kernel)
    figures: Figures = {"x_real_time": 300.0 / taken}
    yardstick = c_kernel(body_model())
    if yardstick is None:
        figures["share_of_c"] = None
        reasons.append("share_of_c: no C compiler on the path")
    else:
        figures["share_of_c"] = seconds_for(yardstick) / taken
    figures["map_error_mmhg"], figures["sao2_error_pct"] = step_error()
    figures["replay_20min_ms"], figures["look_ahead_5min_ms"] = run_figures()
    figures["snapshot_bytes"] = float(len(troubled(kernel).snapshot()))
    return figures, reasons


def main() -> int:
    parser = argparse.ArgumentParser(description="Speed and step error of the body.")
    parser.add_argument("--json", action="store_true", help="print one JSON object on the last line")
    asked = parser.parse_args()
    figures, reasons = measure()
    for reason in reasons:
        print(reason)
    if asked.json:
        print(json.dumps({**figures, "reasons": reasons}))
    else:
        for name, value in figures.items():
            print(f"{name:22} {'-' if value is None else f'{value:,.3f}'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
