"""The state of one room in parts, made from its run; only what changed is sent."""

import math
from dataclasses import replace
from typing import Any, Final

from drillyard.core.care.actions import Compress, StopCompressions
from drillyard.core.ecg import CompressionSpan
from drillyard.core.scenario.cues import AnswerCard
from drillyard.service.lab import Playing
from drillyard.service.phases import phases_of
from drillyard.service.records import LabSettings
from drillyard.web import case_view
from drillyard.web.hold_view import hold_views
from drillyard.web.log_view import log_lines, rings
from drillyard.web.messages import AnswerView, LookAhead, RunHead, SupplyView
from drillyard.web.monitor_view import monitor_view
from drillyard.web.rows import look_ahead_view, numbers, row_signals
from drillyard.web.units import weight_text

PARTS: Final = (
    "run", "phases", "numbers", "rings", "log", "cues", "set_by_hand", "supply", "problems", "holds", "answers",
    "notices", "monitor",
)  # fmt: skip
"""Parts of a snapshot that a change can replace."""
FOR_LEARNERS: Final = ("run", "monitor")


class RoomParts:
    """Works out the parts of one run.  Lists that follow the log are made again only when the log has changed."""

    def __init__(self, playing: Playing, settings: LabSettings) -> None:
        self.playing, self.settings = playing, settings
        self.rows = row_signals(playing.case.scenario.problems)
        self._phases = phases_of(playing.case.scenario)
        self._sensors_on: frozenset[str] = frozenset()
        self._supply = case_view.supply_views(playing.case.coverage)
        self._answers = AnswerCard(playing.case.scenario.answers)
        self._of_log: dict[str, Any] = {}
        self._log_key: tuple[Any, ...] = ()

    def now(self) -> dict[str, Any]:
        """Every part as it stands now, by its name in the snapshot."""
        run, case = self.playing.room.run, self.playing.case
        return {
            **self._from_log(),
            "run": self.head(),
            "numbers": numbers(run, self.rows, self.settings),
            "cues": case_view.cue_views(case, run),
            "set_by_hand": case_view.set_by_hand_views(case, run),
            "supply": self._supply_now(),
            "holds": hold_views(run),
            "answers": self._answers_now(),
            "notices": case_view.notices(case.scenario, run, self.playing.room.case_advice),
            "monitor": monitor_view(run, self.settings),
        }

    def _from_log(self) -> dict[str, Any]:
        room = self.playing.room
        state = room.run.state
        key = (state, len(room.advice))
        if not self._log_key or self._log_key[0] is not state or self._log_key[1:] != key[1:]:
            self._log_key = key
            self._of_log = {
                "phases": case_view.phase_views(self._phases, room.run),
                "rings": rings(state.obtained, self.rows, self.settings),
                "log": log_lines(state.log, room.advice),
                "problems": case_view.problem_views(room.run),
            }
        return self._of_log

    def _supply_now(self) -> list[SupplyView]:
        on = frozenset(sensor.sensor for sensor in self.playing.room.run.state.sensors)
        if on != self._sensors_on:
            self._sensors_on = on
            self._supply = case_view.supply_views(self.playing.case.coverage, on)
        return self._supply

    def _answers_now(self) -> list[AnswerView]:
        run = self.playing.room.run
        lines = self._answers.now(run.t_s, run.signals(), run.machine.facts)
        return [AnswerView(asked=line.asked, who=line.who, said=line.said) for line in lines]

    def head(self) -> RunHead:
        """What stands at the head of every screen of this run."""
        record, room, scenario = self.playing.record, self.playing.room, self.playing.case.scenario
        state, settings = room.run.state, self.settings
        patient = scenario.patient
        return RunHead(
            run_id=record.run_id,
            room=record.room,
            title=record.title,
            scenario=record.scenario,
            manikin=self.playing.case.profile.title,
            crew_text=record.crew_text,
            purpose=record.purpose,
            is_running=room.is_moving,
            is_ended=state.is_ended,
            outcome=state.outcome,
            stop_word=settings.stop_word,
            emergency_word=settings.emergency_word,
            time_jumps_min=[seconds / 60.0 for seconds in scenario.time_jumps_s],
            time_cap_s=scenario.time_cap_s,
            dispatch=scenario.dispatch,
            patient_text=f"{patient.name}, {patient.age_years:g} years, {patient.sex}, "
            f"{weight_text(patient.mass_kg, settings)}",
            recovered_text=state.recovered_text,
            good_t_s=room.good_t_s,
            fault_text=room.fault_text,
        )

    def compressions(self) -> list[CompressionSpan]:
        """When compressions were going on, for the trace of the ECG."""
        spans: list[CompressionSpan] = []
        for line in self.playing.room.run.state.log:
            if line.is_undone or not isinstance(line.action, Compress | StopCompressions):
                continue
            if spans and math.isinf(spans[-1].end_s):
                spans[-1] = replace(spans[-1], end_s=line.t_s)
            if isinstance(line.action, Compress):
                spans.append(CompressionSpan(start_s=line.t_s, rate_per_min=line.action.rate_per_min))
        return spans[-3:]

    def look_ahead(self) -> LookAhead | None:
        """The newest look-ahead, None while there is none."""
        ahead = self.playing.looker.newest
        return None if ahead is None else look_ahead_view(ahead, self.rows, self.settings)


def for_learners(head: RunHead) -> RunHead:
    """The head as learners may see it: no title, no patient, nothing that gives the case away."""
    return RunHead(
        run_id=head.run_id,
        room=head.room,
        title="",
        scenario="",
        manikin="",
        crew_text="",
        purpose=head.purpose,
        is_running=head.is_running,
        is_ended=head.is_ended,
        outcome=None,
        stop_word=head.stop_word,
        emergency_word=head.emergency_word,
    )
