"""A rehearsal told as a story: what happened, with its time, and the main numbers every minute."""

from collections.abc import Iterator
from math import isnan

from drillyard.core.measures import MeasureResult
from drillyard.core.proving.outcome import Outcome
from drillyard.core.proving.player import Rehearsal

EVERY_S = 60


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60:2d}:{int(t_s) % 60:02d}"


def story_lines(rehearsal: Rehearsal) -> list[str]:
    """One line an event, and a line of numbers at each whole minute, in order of time."""
    rows: list[tuple[float, int, str]] = []
    for line in rehearsal.run.state.log:
        if line.kind == "care given":
            rows.append((line.t_s, 1, f"{_clock(line.t_s)}  {line.text}"))
        elif line.kind == "phase entered":
            rows.append((line.t_s, 1, f"{_clock(line.t_s)}  -- {line.text} --"))
        elif line.kind in ("finding obtained", "cue given"):
            # A cue that supplies a finding is logged twice with the same words; it is told once.
            row = (line.t_s, 1, f"{_clock(line.t_s)}    > {line.text}")
            if row not in rows[-2:]:
                rows.append(row)
        elif line.kind in ("rule fired", "problem set", "problem ended", "run ended"):
            rows.append((line.t_s, 1, f"{_clock(line.t_s)}  * {line.text}"))
    rows += [(t_s, 2, f"{_clock(t_s)}  ! {sentence}") for t_s, sentence in rehearsal.told]
    rows += [(n.t_s, 2, f"{_clock(n.t_s)}  ! not done: {n.what}: {n.fault.sentence()}") for n in rehearsal.not_done]
    rows += [(float(second), 0, numbers_line(rehearsal, second)) for second in _minutes(rehearsal)]
    return [text for _, _, text in sorted(rows, key=lambda row: row[:2])]


def _minutes(rehearsal: Rehearsal) -> Iterator[int]:
    n = len(rehearsal.run.tracks)
    yield from range(0, n, EVERY_S)
    if n and (n - 1) % EVERY_S:
        yield n - 1


def numbers_line(rehearsal: Rehearsal, second: int) -> str:
    """The patient (not what the crew saw) at one second."""
    tracks = rehearsal.run.tracks

    def value(name: str) -> str:
        number = float(tracks.column(name)[second])
        return "-" if isnan(number) else f"{number:.0f}"

    return (
        f"{_clock(second)}  [patient: HR {value('heart_rate_per_min')}/min, "
        f"BP {value('systolic_pressure_mmhg')}/{value('diastolic_pressure_mmhg')} "
        f"(mean {value('mean_arterial_pressure_mmhg')}) mmHg, SpO2 {value('spo2_pct')} %, "
        f"RR {value('respiratory_rate_per_min')}/min, CO2 {value('etco2_mmhg')} mmHg, GCS {value('gcs_total')}, "
        f"blood lost {value('blood_lost_ml')} mL]"
    )


def summary_lines(outcome: Outcome, measures: list[MeasureResult]) -> list[str]:
    """The outcome and the measures, one line each."""
    arrest = f"pulse lost at {_clock(outcome.arrest_at_s).strip()}" if outcome.arrest_at_s is not None else "pulse kept"
    spo2 = f"{outcome.lowest_spo2_pct:g} %" if outcome.lowest_spo2_pct is not None else "none"
    said = (
        f"Outcome: {outcome.outcome}; {arrest}; lowest mean pressure {outcome.lowest_map_mmhg:g} mmHg; lowest SpO2 "
        f"{spo2}; blood lost {outcome.blood_lost_ml:g} mL; ended at {_clock(outcome.end_s).strip()} "
        f"({outcome.end_reason})."
    )
    lines = [said, "Measures:"]
    for row in measures:
        spread = f" +- {row.uncertainty:.1f} {row.unit}" if row.uncertainty else ""
        whose = " [patient, not crew]" if row.is_patient_not_crew else ""
        note = f" ({row.note})" if row.note else ""
        value = "" if row.text == row.status else f"{row.text}{spread}: "
        lines.append(f"  {row.id:2d} {row.title}: {value}{row.status}, target {row.target}{whose}{note}")
    return lines
