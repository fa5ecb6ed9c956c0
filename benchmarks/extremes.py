"""Random extreme sessions: does any number of the body stop being a number, or any volume fall below zero?

``python -m benchmarks.extremes [--sessions N] [--seed S]`` prints what went wrong and where; exit code 1 if anything
did.
A session is twenty minutes in which something violent happens every minute: bleeding, holes in lungs, blocked airways,
overdoses, fibrillation, compressions, shocks, wrong ventilation, floods of fluid, tilts, held effectors.
"""

import argparse
import sys
from dataclasses import dataclass

import numpy as np

from drillyard.adapters.files.formulary_files import packaged_formulary
from drillyard.adapters.kernel import load_kernel
from drillyard.core.body.assembly import body_model
from drillyard.core.body.body import EFFECTORS, STEPS_PER_S, Body
from drillyard.core.body.patient import Patient
from drillyard.core.numerics.kernel import Kernel

MINUTES = 20
_EXTREMES = {
    "airway_block_frac": (0.0, 0.5, 1.0),
    "airway_held_open": (0.0, 1.0),
    "airway_device_code": (0.0, 1.0, 2.0, 3.0, 4.0, 5.0),
    "oxygen_device_code": (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0),
    "oxygen_flow_l_per_min": (0.0, 2.0, 15.0),
    "ambient_o2_frac": (0.05, 0.2093, 1.0),
    "ambient_pressure_mmhg": (300.0, 760.0),
    "given_breath_rate_per_min": (0.0, 6.0, 12.0, 40.0),
    "given_breath_volume_ml": (100.0, 500.0, 1500.0),
    "lung_leak_left_ml_per_s_per_cmh2o": (0.0, 2.0, 50.0),
    "lung_leak_right_ml_per_s_per_cmh2o": (0.0, 2.0, 50.0),
    "lung_leak_left_is_valve": (0.0, 1.0),
    "lung_leak_right_is_valve": (0.0, 1.0),
    "chest_wound_left_ml_per_s_per_cmh2o": (0.0, 100.0),
    "chest_vent_left_ml_per_s_per_cmh2o": (0.0, 30.0),
    "chest_vent_right_ml_per_s_per_cmh2o": (0.0, 30.0),
    "wound_1_ml_per_min": (0.0, 200.0, 2000.0),
    "wound_2_ml_per_min": (0.0, 500.0),
    "wound_1_controlled_frac": (0.0, 1.0),
    "venesection_ml_per_min": (0.0, 300.0),
    "compression_rate_per_min": (0.0, 110.0, 160.0),
    "compression_depth_cm": (2.0, 5.5, 8.0),
    "pericardial_fluid_ml": (0.0, 150.0, 500.0),
    "tilt_deg": (-30.0, 0.0, 70.0),
    "legs_raised": (0.0, 1.0),
    "neck_suction_mmhg": (0.0, 60.0),
    "paralysed": (0.0, 1.0),
    "anaesthetised": (0.0, 1.0),
    "autonomic_block": (0.0, 1.0),
    "added_shunt_frac": (0.0, 0.6),
    "coronary_anterior_shut_frac": (0.0, 0.8, 1.0),
    "coronary_inferior_shut_frac": (0.0, 1.0),
    "coronary_lateral_shut_frac": (0.0, 1.0),
    "coronary_shuts_right": (0.0, 1.0),
    "lung_vessels_clotted_frac": (0.0, 0.5, 0.95),
    "added_heart_depression_frac": (0.0, 0.5, 1.0),
    "added_left_depression_frac": (0.0, 0.7, 1.0),
    "added_vessel_dilation_frac": (0.0, 0.5, 1.0),
    "nerves_cut_heart_frac": (0.0, 1.0),
    "nerves_cut_vessels_frac": (0.0, 1.0),
    "lower_body_suction_mmhg": (0.0, 40.0, 100.0),
    "strain_mmhg": (0.0, 40.0, 80.0),
    "muscle_pump_frac": (0.0, 1.0),
    "bronchospasm_frac": (0.0, 0.5, 1.0),
    "upper_swelling_frac": (0.0, 0.5, 1.0),
    "secretions_frac": (0.0, 1.0),
    "aspirated_frac": (0.0, 1.0),
    "consolidated_left_frac": (0.0, 0.5, 1.0),
    "left_heart_stiff_frac": (0.0, 5.0),
    "flail_right_frac": (0.0, 1.0),
    "ambient_co_ppm": (0.0, 10000.0),
    "methb_order_frac": (-1.0, 0.6),
    "ventilator_mode_code": (0.0, 1.0, 2.0, 3.0, 4.0),
    "ventilator_peep_cmh2o": (0.0, 25.0),
    "ventilator_volume_ml": (100.0, 1500.0),
    "wound_2_into_chest_code": (0.0, 1.0, 2.0),
    "chest_drain_left": (0.0, 1.0),
    "oxygen_left_l": (-1.0, 5.0),
}
_DOSES = (
    ("epinephrine", 5.0),
    ("fentanyl", 3.0),
    ("naloxone", 10.0),
    ("tranexamic acid", 2000.0),
    ("norepinephrine", 2.0),
    ("propofol", 500.0),
    ("adenosine", 50.0),
    ("diltiazem", 200.0),
    ("metoprolol", 100.0),
    ("nitroglycerin", 20.0),
    ("atropine", 10.0),
    ("tenecteplase", 50.0),
)
"""Drugs given into a vein, and the most of each in mg."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """What went wrong in one session: the name, its value, and the simulated second."""

    session: int
    t_s: int
    name: str
    value: float


def _something_violent(body: Body, chance: np.random.Generator) -> None:
    for name in chance.choice(list(_EXTREMES), size=6, replace=False):
        body.set_control(str(name), float(chance.choice(_EXTREMES[str(name)])))
    kind = int(chance.integers(0, 6))
    if kind == 0:
        body.set_control("rhythm_order", float(chance.integers(0, 3)))
    elif kind == 1:
        body.set_control("shock_j", 200.0)
    elif kind == 2:
        drug, high_mg = _DOSES[int(chance.integers(0, len(_DOSES)))]
        body.give(drug, float(chance.uniform(0.01, high_mg)), "mg", "IV")
    elif kind == 3:
        body.set_control("crystalloid_ml_per_min", float(chance.choice((100.0, 1000.0))))
        body.set_control("crystalloid_left_ml", 3000.0)
    elif kind == 4:
        effector = str(chance.choice(list(EFFECTORS)))
        _, _, low, high = EFFECTORS[effector]
        body.hold(effector, float(chance.uniform(low, high)))
    else:
        for effector in EFFECTORS:
            body.release(effector)


def faults(kernel: Kernel, sessions: int, seed: int = 20261125, first: int = 0) -> list[Wrong]:
    """Play ``sessions`` sessions and list what went wrong; chance comes from ``seed`` and the session's number."""
    floors = {name: state.low for name, state in body_model().states.items() if state.low is not None}
    found: list[Wrong] = []
    for session in range(first, first + sessions):
        chance = np.random.default_rng([seed, session])
        patient = Patient(
            age_years=float(chance.integers(18, 90)),
            sex="female" if chance.random() < 0.5 else "male",
            mass_kg=float(chance.integers(48, 120)),
            height_cm=float(chance.integers(155, 195)),
        )
        body = Body.healthy(patient, session, packaged_formulary(), kernel, settle_s=60)
        found += _session(body, chance, session, floors)
    return found


def _session(body: Body, chance: np.random.Generator, session: int, floors: dict[str, float]) -> list[Wrong]:
    for minute in range(MINUTES):
        _something_violent(body, chance)
        for second in range(0, 60, 5):
            body.advance(5 * STEPS_PER_S)
            t_s = minute * 60 + second + 5
            bad = [
                Wrong(session=session, t_s=t_s, name=name, value=value)
                for name, value in body.read_all().items()
                if not np.isfinite(value)
            ]
            if not body.is_finite:
                bad.append(Wrong(session=session, t_s=t_s, name="state", value=float("nan")))
            bad += [
                Wrong(session=session, t_s=t_s, name=name, value=body.read(name))
                for name, low in floors.items()
                if body.read(name) < low
            ]
            if bad:
                return bad
    return []


def main() -> int:
    parser = argparse.ArgumentParser(description="Random extreme sessions of the body.")
    parser.add_argument("--sessions", type=int, default=300)
    parser.add_argument("--seed", type=int, default=20261125)
    asked = parser.parse_args()
    found = faults(load_kernel(), asked.sessions, asked.seed)
    for wrong in found:
        print(f"session {wrong.session}, {wrong.t_s} s: {wrong.name} = {wrong.value:g}")
    print(f"{asked.sessions} sessions of {MINUTES} min: {len(found)} faults")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
