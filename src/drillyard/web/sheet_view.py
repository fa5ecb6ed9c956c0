"""The paper run sheet: a run goes on from it if the computer dies."""

from collections.abc import Mapping
from typing import Final

from drillyard.core.formulary import Formulary, usual_dose_text
from drillyard.core.measures.catalogue import MEASURES
from drillyard.core.measures.result import Definition
from drillyard.core.scenario.model import Answer, BoxDrug, Cue, GiveCue, Objective, PatientRecord, Scenario
from drillyard.core.session.look_ahead import TRACK_SIGNALS, Ahead, look_ahead
from drillyard.core.session.machine import Machine
from drillyard.service.lab import Playing
from drillyard.service.phases import phases_of
from drillyard.service.records import LabSettings
from drillyard.service.sessions import box_item
from drillyard.web.case_view import problem_text
from drillyard.web.condition_words import condition_words
from drillyard.web.home_messages import (
    RunSheet,
    SheetAnswer,
    SheetCell,
    SheetColumn,
    SheetExpected,
    SheetLine,
    SheetRow,
)
from drillyard.web.mark import TRAINING_MARK
from drillyard.web.units import label_of, mind_text, scale_of, weight_text

ROW_S: Final = 60
EACH_MINUTE_S: Final = 360.0
"""So long the course has a row a minute; then every second minute is enough to go on by (our choice)."""
PULSE: Final = "pulse_carotid_frac"
PULSES: Final[dict[str, str]] = {"pulse_radial_frac": "wrist", "pulse_femoral_frac": "groin", PULSE: "neck"}
"""Where a pulse can be felt, the site that loses it first in front."""
PULSE_EDGE: Final = 0.05
"""Share of a full pulse below which the finding catalogue calls it absent."""
COLUMNS: Final = (
    "heart_rate_per_min",
    "systolic_pressure_mmhg",
    PULSE,
    "spo2_pct",
    "etco2_mmhg",
    "respiratory_rate_per_min",
    "gcs_total",
    "pupil_left_mm",
)
KEPT: Final = (*TRACK_SIGNALS, *PULSES, "pupil_left_mm", "pupil_right_mm")
HEADS: Final[dict[str, tuple[str, str]]] = {PULSE: ("Pulse at", ""), "pupil_left_mm": ("Pupils", "mm")}
COURSE_NOTE = (
    "What the patient does if nothing more is done, as the computer last knew it. Once treatment begins, judge by what "
    "was done: nothing on this page answers to care."
)


def course(machine: Machine, time_cap_s: float) -> Ahead | None:
    """The untreated course from now to the case's time cap, at least ten minutes.  Moves ``machine``: give a copy."""
    minutes = max(10.0, (time_cap_s - machine.t_s) / 60.0)
    return look_ahead(machine, minutes, dt_s=ROW_S, limits=(), names=KEPT)


def sheet_view(playing: Playing, ahead: Ahead | None, settings: LabSettings, made_wall: str) -> RunSheet:
    """Everything that stands on the sheet."""
    scenario, state = playing.case.scenario, playing.room.run.state
    entered = {phase.name: phase.entered_t_s for phase in state.phases}
    box = scenario.drug_box or (playing.case.kit.drug_box if playing.case.kit else ())
    patient = scenario.patient
    return RunSheet(
        run_id=playing.record.run_id,
        title=playing.record.title,
        made_wall=made_wall,
        manikin=playing.case.profile.title,
        crew_text=playing.record.crew_text,
        purpose=playing.record.purpose,
        time_cap_s=scenario.time_cap_s,
        dispatch=scenario.dispatch,
        patient_text=f"{patient.name}, {patient.age_years:g} years, {patient.sex}, "
        f"{weight_text(patient.mass_kg, settings)}, {patient.height_cm:g} cm",
        history=_history(patient),
        phases=[
            SheetLine(title=phase, text=_clock(entered[phase]) if phase in entered else "")
            for phase in phases_of(scenario)
        ],
        objectives=[_objective(objective) for objective in scenario.objectives],
        expected=_expected(scenario, playing.room.run.machine.facts.first_s),
        timed=_timed(scenario),
        from_s=ahead.from_s if ahead is not None else playing.room.run.t_s,
        columns=[_column(name, settings) for name in COLUMNS],
        course=_course(ahead, settings) if ahead is not None else [],
        course_note=COURSE_NOTE,
        problems=[
            SheetLine(title=problem.problem.kind, text=problem_text(problem.problem))
            for problem in state.problems
            if not problem.is_ended
        ],
        cues=[SheetLine(title=_when(cue, scenario, settings), text=cue.words) for cue in scenario.cues],
        handouts=[SheetLine(title=f"{sheet.order} {sheet.title}", text=sheet.text) for sheet in scenario.handouts],
        answers=[_answer(line, settings) for line in scenario.answers],
        do_not_say=list(scenario.do_not_say),
        drug_box=[_drug(row, playing.case.formulary) for row in box],
        hazards=_hazards(scenario),
        log=[SheetLine(title=_clock(line.t_s), text=line.text) for line in state.log if not line.is_undone],
        stop_word=settings.stop_word,
        emergency_word=settings.emergency_word,
        training_mark=TRAINING_MARK,
    )


def _history(patient: PatientRecord) -> list[SheetLine]:
    rows = {
        "Allergies": ", ".join(patient.allergies),
        "Medication": ", ".join(patient.medication),
        "History": ", ".join(patient.history),
        "Last meal": patient.last_meal,
        "Last known well": patient.last_known_well,
        "What happened": patient.events,
    }
    return [SheetLine(title=title, text=text or "not written in the case") for title, text in rows.items()]


def _hazards(scenario: Scenario) -> list[SheetLine]:
    return [SheetLine(title=hazard.what, text=hazard.precaution) for hazard in scenario.hazards]


def _objective(objective: Objective) -> SheetExpected:
    """An objective with the targets of the measures that quantify it."""
    targets = [_target(MEASURES[number][0]) for number in objective.measures if number in MEASURES]
    return SheetExpected(text=objective.text, detail="; ".join(text for text in targets if text))


def _target(definition: Definition) -> str:
    return f"{definition.title.lower()} {definition.target}" if definition.target else ""


def _expected(scenario: Scenario, first_s: Mapping[str, float]) -> list[SheetExpected]:
    """The procedures that the case expects; the time stands there where the log has it."""
    rows = []
    for need in scenario.needs_procedures:
        words = f"{need.procedure} {need.site}" if need.site else need.procedure
        at_s = first_s.get(words, first_s.get(need.procedure))
        said = f"{need.procedure}, {need.site}" if need.site else need.procedure
        rows.append(
            SheetExpected(
                text=said[:1].upper() + said[1:], detail=need.why, at_text="" if at_s is None else _clock(at_s)
            )
        )
    return rows


def _timed(scenario: Scenario) -> list[SheetLine]:
    """What must be timed by hand so that the measures of the case can be worked out afterwards."""
    named = {number for objective in scenario.objectives for number in objective.measures}
    wanted = [MEASURES[number][0] for number in scenario.measures if number in MEASURES and number not in named]
    return [
        SheetLine(title=definition.title, text=definition.target)
        for definition in wanted
        if definition.unit == "s" and not definition.is_patient_not_crew
    ]


def _when(cue: Cue, scenario: Scenario, settings: LabSettings) -> str:
    """When a cue is to be said: its own condition, or what makes a rule give it."""
    if cue.when not in ("false", "true"):
        return condition_words(cue.when, settings)
    rules = [
        rule.why or condition_words(rule.when, settings)
        for rule in scenario.rules
        if any(isinstance(effect, GiveCue) and effect.cue == cue.name for effect in rule.then)
    ]
    return "; ".join(rules) or ("at any time" if cue.when == "true" else cue.why)


def _answer(line: Answer, settings: LabSettings) -> SheetAnswer:
    when = "" if line.when == "true" else condition_words(line.when, settings)
    return SheetAnswer(asked=line.asked, who=line.who, said=line.said, when=when)


def _drug(row: BoxDrug, formulary: Formulary) -> SheetLine:
    """A row of the box with the published doses of its drug."""
    doses = formulary.get(row.drug).usual_doses if row.drug in formulary else ()
    usual = "; ".join(usual_dose_text(dose) for dose in doses)
    return SheetLine(title=box_item(row), text=f"{row.count} in the box. {'Usual: ' if usual else ''}{usual}".strip())


def _column(name: str, settings: LabSettings) -> SheetColumn:
    label, unit = HEADS.get(name, (label_of(name), scale_of(name, settings).unit))
    return SheetColumn(signal=name, label=label, unit=unit)


def _course(ahead: Ahead, settings: LabSettings) -> list[SheetRow]:
    rows = []
    for n, values in enumerate(ahead.values):
        after_s = n * ahead.dt_s
        if after_s > EACH_MINUTE_S and after_s % (2.0 * ROW_S) != 0.0:
            continue
        now = dict(zip(ahead.names, values.tolist(), strict=True))
        cells = [SheetCell(signal=name, text=_cell(name, now, settings)) for name in COLUMNS]
        rows.append(SheetRow(t_s=ahead.from_s + after_s, cells=cells))
    return rows


def _cell(name: str, now: dict[str, float], settings: LabSettings) -> str:
    scale = scale_of(name, settings)
    match name:
        case "gcs_total":
            return mind_text(now["gcs_eye"], now["gcs_verbal"], now["gcs_motor"])
        case "systolic_pressure_mmhg":
            return f"{scale.text(now[name])}/{scale.text(now['diastolic_pressure_mmhg'])}"
        case "pulse_carotid_frac":
            return next((site for pulse, site in PULSES.items() if now[pulse] >= PULSE_EDGE), "none")
        case "pupil_left_mm":
            return f"{now[name]:.0f}/{now['pupil_right_mm']:.0f}"
        case "spo2_pct" if now[name] <= 0.0:
            return "no signal"
        case _:
            return scale.text(now[name])


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"
