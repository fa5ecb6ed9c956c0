"""Logs and tracks written by hand, so that a measure's arithmetic can be done on paper."""

from dataclasses import replace
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from drillyard.core.care.actions import Action
from drillyard.core.care.problems import Bleeding, Pneumothorax
from drillyard.core.entry import sentence_of
from drillyard.core.measures import MeasureResult, compute
from drillyard.core.quantities.signals import TRACKED
from drillyard.core.scenario.model import PatientRecord, Scenario
from drillyard.core.session.events import (
    CareGiven,
    EntryCorrected,
    EntryUndone,
    Event,
    FindingObtained,
    Happening,
    LateEntry,
    PhaseEntered,
    RunEnded,
)

SCENARIO = Scenario(
    format=1,
    name="hand-log",
    title="A case for arithmetic",
    time_cap_s=1200.0,
    dispatch="-",
    story="-",
    patient=PatientRecord(
        name="Ada Test", age_years=40, sex="female", mass_kg=70.0, height_cm=170.0, allergies=("penicillin",)
    ),
    problems=(
        Bleeding(name="wound", site="left thigh", rate_ml_per_min=180.0, start_s=-420.0),
        Pneumothorax(name="chest", side="left", leak_ml_per_s_per_cmh2o=0.5, start_s=-300.0),
    ),
)


class HandTracks:
    """Tracks of ``seconds`` + 1 rows.  Signals not named are a healthy constant; shown ones are absent unless named."""

    healthy: ClassVar = {"sao2_pct": 98.0, "systolic_pressure_mmhg": 120.0, "mean_arterial_pressure_mmhg": 90.0}

    def __init__(
        self,
        seconds: int = 600,
        true: dict[str, NDArray[np.float64]] | None = None,
        shown: dict[str, NDArray[np.float64]] | None = None,
    ) -> None:
        self.n = seconds + 1
        self.true = {name: np.full(self.n, self.healthy.get(name, 1.0)) for name in TRACKED} | (true or {})
        self.shown = {name: np.full(self.n, np.nan) for name in TRACKED} | (shown or {})

    def __len__(self) -> int:
        return self.n

    def column(self, name: str) -> NDArray[np.float64]:
        return self.true[name]

    def shown_column(self, name: str) -> NDArray[np.float64]:
        return self.shown[name]


class HandLog:
    """Events one after another.  Every time has an uncertainty of 1 s unless it says otherwise."""

    def __init__(self) -> None:
        self.events: list[Event] = []

    def add(self, t_s: float, body: Happening, u_s: float = 1.0) -> int:
        seq = len(self.events) + 1
        self.events.append(
            Event(
                seq=seq,
                step=round(t_s * 100),
                t_sim_s=t_s,
                t_wall_utc="2026-01-01T00:00:00+00:00",
                source="script",
                actor="crew",
                client_id=f"c{seq}",
                body=body,
                u_s=u_s,
            )
        )
        return seq

    def phase(self, t_s: float, name: str) -> int:
        return self.add(t_s, PhaseEntered(phase=name))

    def care(self, t_s: float, action: Action, u_s: float = 1.0) -> int:
        return self.add(t_s, CareGiven(action=action, text=sentence_of(action)), u_s)

    def late(self, t_s: float, at_s: float, action: Action) -> int:
        return self.add(t_s, LateEntry(action=action, text=sentence_of(action), t_s=at_s))

    def undo(self, t_s: float, seq: int) -> int:
        return self.add(t_s, EntryUndone(target_seq=seq))

    def correct(self, t_s: float, seq: int, action: Action, at_s: float | None = None) -> int:
        return self.add(t_s, EntryCorrected(target_seq=seq, action=action, text=sentence_of(action), t_s=at_s))

    def got(self, t_s: float, finding: str, value: float | None = None, text: str = "") -> int:
        return self.add(t_s, FindingObtained(finding=finding, value=value, text=text or finding, how="on the manikin"))

    def end(self, t_s: float) -> int:
        return self.add(t_s, RunEnded(reason="the end", outcome="alive"))


def measured(log: HandLog, number: int, tracks: Any = None, formulary: Any = None, **case: Any) -> MeasureResult:
    """One measure of a log."""
    scenario = replace(SCENARIO, measures=(number,), **case)
    results = compute(log.events, tracks or HandTracks(), scenario, formulary)
    return next(result for result in results if result.id == number)
