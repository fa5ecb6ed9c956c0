"""Find-the-cause as messages: what may be searched for, and what came of it, in the lab's units."""

import asyncio
import time
from typing import Final

from drillyard.core.care.problems import DrugTaken
from drillyard.core.quantities.faults import Fault, Refusal
from drillyard.core.quantities.near import near_matches
from drillyard.core.session.find_cause import Found, Goal
from drillyard.service.causes import CauseChoice, choice_of, choices, find_in_run
from drillyard.service.lab import Playing
from drillyard.service.records import LabSettings
from drillyard.web.case_view import problem_text
from drillyard.web.command_messages import CauseChoices, CauseView, FindAnswer, FindAsked, FindSignal
from drillyard.web.rows import look_ahead_view, row_signals
from drillyard.web.units import label_of, scale_of

SIGNALS_ASKED: Final = (
    "mean_arterial_pressure_mmhg", "systolic_pressure_mmhg", "heart_rate_per_min", "sao2_pct", "spo2_pct",
    "etco2_mmhg", "respiratory_rate_per_min", "gcs_total", "temperature_core_degc", "paco2_mmhg", "ph",
    "lactate_mmol_per_l", "glucose_mg_per_dl", "cardiac_output_l_per_min", "blood_lost_ml",
)  # fmt: skip
"""What an operator may want to lead somewhere; from Python any signal can be asked for."""


def choices_view(playing: Playing, settings: LabSettings) -> CauseChoices:
    """What the sheet offers: problems of the run, new ones, drugs; and signals with their value now."""
    run = playing.room.run
    signals = run.signals()
    return CauseChoices(
        causes=[
            CauseView(
                id=choice.id,
                label=_label(choice),
                unit=choice.unit,
                least=choice.least,
                most=choice.most,
                is_present=choice.is_present,
            )
            for choice in choices(playing.case.formulary, run.state)
        ],
        signals=[
            FindSignal(
                signal=signal,
                label=_signal_label(signal),
                unit=scale_of(signal, settings).unit,
                now=float(scale_of(signal, settings).text(signals[signal])),
            )
            for signal in SIGNALS_ASKED
        ],
    )


def _label(choice: CauseChoice) -> str:
    problem = choice.problem
    if isinstance(problem, DrugTaken):
        return f"{problem.drug}, into a vein at once"
    return problem_text(problem)


async def find(playing: Playing, asked: FindAsked, settings: LabSettings) -> FindAnswer:
    """Searches on a copy of the run, in a thread beside the room.

    Raises:
        Refusal: as the search, or the body of this room is frozen.
    """
    run = playing.room.run
    if run.frozen is not None:
        raise Refusal(Fault(code="body froze", said="the patient of this room stands still", remedy="mend that first"))
    if asked.signal not in SIGNALS_ASKED:
        near = near_matches(asked.signal, SIGNALS_ASKED)
        raise Refusal(Fault(code="unknown name", said=f"'{asked.signal}' cannot be asked for here", near=near))
    choice = choice_of(asked.cause, playing.case.formulary, run.state)
    scale = scale_of(asked.signal, settings)
    goal = Goal(signal=asked.signal, value=scale.core(asked.value), in_s=60.0 * asked.minutes)
    started = time.perf_counter()
    found = await asyncio.to_thread(find_in_run, run.machine.copy(), choice, goal)
    took_ms = 1000.0 * (time.perf_counter() - started)
    return answer_view(playing, asked, choice, found, settings, took_ms)


def answer_view(
    playing: Playing, asked: FindAsked, choice: CauseChoice, found: Found, settings: LabSettings, took_ms: float
) -> FindAnswer:
    """What came of a search."""
    scale, label = scale_of(asked.signal, settings), _signal_label(asked.signal)
    rows = row_signals(playing.case.scenario.problems)
    assert found.ahead is not None  # a run was searched
    return FindAnswer(
        cause=choice.id,
        label=_label(choice),
        sentence=found.sentence(label, scale.unit, scale.factor, scale.offset),
        is_reached=found.is_reached,
        size=float(f"{found.size:.4g}"),
        size_text=found.size_text(),
        value_text=f"{scale.text(found.value)} {scale.unit}".strip(),
        reason=f"found for {label.lower()} {asked.value:g} {scale.unit} in {asked.minutes:g} min".replace("  ", " "),
        n_runs=len(found.search.tried),
        took_ms=round(took_ms, 1),
        ahead=look_ahead_view(found.ahead, rows, settings),
    )


def _signal_label(signal: str) -> str:
    return "Systolic pressure" if signal == "systolic_pressure_mmhg" else label_of(signal)
