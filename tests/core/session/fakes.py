"""A small patient, sensors and setup for tests of the session core.

The patient is no physiology: blood runs out of wounds, oxygen falls when the airway is blocked, breaths bring it
back.  It is deterministic to the bit whatever the size of the calls, as the real body is, and has a chaotic state so
that a step too many or too few, or in another order, shows in its hash.
"""

import hashlib
import struct
from dataclasses import dataclass, field, replace
from typing import Any, Self

import numpy as np

from drillyard.core.body.patient import Patient
from drillyard.core.care.actions import Action, ControlBleeding, GiveDrug, StopVentilating, Ventilate
from drillyard.core.care.problems import AirwayBlockage, Bleeding, Problem, Tamponade
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.signals import SIGNALS
from drillyard.core.scenario.model import PatientRecord, Scenario
from drillyard.core.session.events import Event, Happening
from drillyard.core.session.setup import RunSetup
from drillyard.core.signals.cuff import CuffReading

EFFECTORS = ("heart rate",)
NAMES = (
    "step_count", "chaos", "blood_ml", "oxygen", "bleeding", "blocked", "breaths", "controlled", "held", "beat_count",
    "beat_step", "dose_mg", "phase", "bad",
)  # fmt: skip


class FakeBody:
    """The patient: 14 numbers."""

    def __init__(self, seed: int = 1) -> None:
        self.x = dict.fromkeys(NAMES, 0.0)
        self.x.update(chaos=0.3 + seed * 1e-3, blood_ml=5000.0, oxygen=98.0)

    @property
    def is_finite(self) -> bool:
        return all(np.isfinite(value) for value in self.x.values())

    def advance(self, n_steps: int, waves: Any = None) -> None:
        x = self.x
        for k in range(n_steps):
            x["step_count"] += 1.0
            x["chaos"] = 3.9 * x["chaos"] * (1.0 - x["chaos"])
            pressure = x["blood_ml"] / 5000.0
            x["blood_ml"] -= x["bleeding"] * (1.0 - x["controlled"]) * pressure / 6000.0
            supply = max(1.0 - x["blocked"], min(1.0, x["breaths"] / 10.0))
            x["oxygen"] += ((98.0 * supply) - x["oxygen"]) / 6000.0
            x["phase"] += self._rate() / 6000.0
            if x["phase"] >= 1.0:
                x["phase"] -= 1.0
                x["beat_count"] += 1.0
                x["beat_step"] = x["step_count"]
            if waves is not None and k < len(waves):
                waves[k] = (x["phase"], x["chaos"])
        if x["bad"]:
            x["oxygen"] = float("nan")

    def _rate(self) -> float:
        return self.x["held"] or 75.0 + 100.0 * (1.0 - self.x["blood_ml"] / 5000.0)

    def read(self, name: str) -> float:
        return self.x[name] if name in self.x else self.read_all()[name]

    def read_all(self) -> dict[str, float]:
        x = self.x
        values = dict.fromkeys(SIGNALS, 0.0)
        pressure = 120.0 * x["blood_ml"] / 5000.0
        alive, pulse = float(x["oxygen"] > 20.0), float(pressure > 40.0 and x["oxygen"] > 40.0)
        values.update(
            heart_rate_per_min=self._rate(),
            pulse_rate_per_min=self._rate() * pulse,
            systolic_pressure_mmhg=pressure,
            diastolic_pressure_mmhg=pressure * 0.6,
            mean_arterial_pressure_mmhg=pressure * 0.75,
            spo2_pct=x["oxygen"],
            sao2_pct=x["oxygen"] + 0.01 * x["chaos"],
            respiratory_rate_per_min=14.0 * (1.0 - x["blocked"]),
            gcs_total=15.0,
            pulse_radial_frac=max(0.0, (pressure - 70.0) / 50.0),
            is_breathing=float(x["blocked"] < 0.95),
            has_pulse=pulse,
            is_alive=alive,
            blood_volume_ml=x["blood_ml"],
        )
        return values

    def apply(self, action: Action) -> str:
        match action:
            case ControlBleeding():
                self.x["controlled"] = action.stopped_frac
                return "" if self.x["bleeding"] else "there is no bleeding wound"
            case Ventilate():
                self.x["breaths"] = action.rate_per_min
            case StopVentilating():
                self.x["breaths"] = 0.0
            case GiveDrug():
                if action.drug == "unknown":
                    raise Refusal(Fault(code="unknown drug", said="no drug is called 'unknown'"))
                if action.drug == "poison":
                    self.x["bad"] = 1.0
                self.x["dose_mg"] += action.dose
                self.x["oxygen"] += 0.001 * action.dose
        return ""

    def set_problem(self, problem: Problem, size_frac: float = 1.0) -> None:
        match problem:
            case Bleeding():
                self.x["bleeding"] = problem.rate_ml_per_min * size_frac
            case AirwayBlockage():
                self.x["blocked"] = problem.blocked_frac * size_frac
            case Tamponade():
                raise Refusal(Fault(code="no", said="this small patient cannot have tamponade"))

    def end_problem(self, problem: Problem) -> None:
        self.set_problem(problem, 0.0)

    def hold(self, effector: str, value: float, by: str = "") -> None:
        if effector not in EFFECTORS:
            raise Refusal(Fault(code="unknown name", said=f"'{effector}' cannot be held"))
        self.x["held"] = value

    def release(self, effector: str, left_frac: float = 0.0) -> None:
        self.x["held"] *= 1.0 if left_frac > 0.0 else 0.0

    def snapshot(self) -> bytes:
        return struct.pack(f"<{len(NAMES)}d", *self.x.values())

    def restore(self, snapshot: bytes) -> None:
        self.x = dict(zip(NAMES, struct.unpack(f"<{len(NAMES)}d", snapshot), strict=True))

    def copy(self) -> Self:
        twin = type(self)()
        twin.x = dict(self.x)
        return twin

    def state_hash(self) -> str:
        return hashlib.sha256(self.snapshot()).hexdigest()[:16]

    def model_hash(self) -> str:
        return "small-1"


@dataclass
class FakeSensors:
    """A probe and a cuff.  The probe shows the value of 5 s ago; a cuff cycle takes 20 s."""

    on: tuple[str, ...] = ()
    recent: tuple[float, ...] = ()
    cuffs: tuple[tuple[str, float], ...] = ()
    cuff_value: float | None = None

    def attach(self, sensor: str, site: str, t_s: float) -> None:
        self.on = (*self.on, sensor)

    def detach(self, sensor: str, t_s: float) -> None:
        self.on = tuple(name for name in self.on if name != sensor)

    def start_cuff(self, site: str, t_s: float) -> None:
        self.cuffs = (*self.cuffs, (site, t_s + 20.0))

    def update(self, t_s: float, signals: Any) -> list[CuffReading]:
        self.recent = (*self.recent[-5:], signals["spo2_pct"])
        done = [cuff for cuff in self.cuffs if t_s >= cuff[1]]
        self.cuffs = tuple(cuff for cuff in self.cuffs if t_s < cuff[1])
        value = round(signals["systolic_pressure_mmhg"])
        for _ in done:
            self.cuff_value = value
        return [
            CuffReading(t_s=t_s, site=cuff[0], systolic_mmhg=value, diastolic_mmhg=value - 40, mean_mmhg=value - 25)
            for cuff in done
        ]

    def shown(self) -> dict[str, float | None]:
        probe = self.recent[0] if "finger probe" in self.on and len(self.recent) == 6 else None
        return {"spo2_pct": probe, "systolic_pressure_mmhg": self.cuff_value}

    def get_state(self) -> Any:
        return (self.on, self.recent, self.cuffs, self.cuff_value)

    def set_state(self, state: Any) -> None:
        self.on, self.recent, self.cuffs, self.cuff_value = state

    def copy(self) -> "FakeSensors":
        return replace(self)


@dataclass(frozen=True)
class FakeLayout:
    wave_names: tuple[str, ...] = ("phase", "chaos")


@dataclass(frozen=True)
class FakeKernel:
    layout: FakeLayout = field(default_factory=FakeLayout)


def scenario(**changes: Any) -> Scenario:
    """A case that runs, with nothing wrong unless ``changes`` say so."""
    record = PatientRecord(name="Robin Vale", age_years=40.0, sex="male", mass_kg=80.0, height_cm=178.0)
    plain: dict[str, Any] = {
        "format": 1, "name": "small-case", "title": "A small case", "time_cap_s": 1200.0, "dispatch": "", "story": "",
        "patient": record, "problems": (),
    }  # fmt: skip
    return Scenario(**(plain | changes))


def setup(case: Scenario | None = None, **changes: Any) -> RunSetup:
    """A setup around the small patient."""
    plain: dict[str, Any] = {
        "run_id": "run-1", "scenario": case or scenario(), "manikin": None,
        "patient": Patient(age_years=40.0, sex="male", mass_kg=80.0, height_cm=178.0), "seed": 7,
        "formulary": None, "kernel": FakeKernel(), "make_body": lambda made: FakeBody(made.seed),
        "make_sensors": lambda _: FakeSensors(),
    }  # fmt: skip
    return RunSetup(**(plain | changes))


def event(seq: int, step: int, body: Happening, **changes: Any) -> Event:
    """An envelope around ``body``."""
    plain: dict[str, Any] = {
        "seq": seq, "step": step, "t_sim_s": step / 100.0, "t_wall_utc": "2026-05-04T09:00:00+00:00",
        "source": "entry line", "actor": "operator", "client_id": f"c-{seq}", "body": body,
    }  # fmt: skip
    return Event(**(plain | changes))
