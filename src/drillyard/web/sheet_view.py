"""The paper run sheet: a run goes on from it if the computer dies."""

from drillyard.core.scenario.model import PatientRecord, Scenario
from drillyard.core.session.look_ahead import Ahead, look_ahead
from drillyard.core.session.machine import Machine
from drillyard.service.lab import Playing
from drillyard.service.phases import phases_of
from drillyard.service.records import LabSettings
from drillyard.service.sessions import box_item
from drillyard.web.case_view import problem_text
from drillyard.web.home_messages import RunSheet, SheetAnswer, SheetCell, SheetColumn, SheetLine, SheetRow
from drillyard.web.mark import TRAINING_MARK
from drillyard.web.units import label_of, mind_text, scale_of, weight_text

ROW_S = 120
COLUMNS = (
    "heart_rate_per_min",
    "systolic_pressure_mmhg",
    "spo2_pct",
    "etco2_mmhg",
    "respiratory_rate_per_min",
    "gcs_total",
)
COURSE_NOTE = (
    "What the patient does if nothing more is done, as the computer last knew it. Once treatment begins, judge by what "
    "was done: nothing on this page answers to care."
)


def course(machine: Machine, time_cap_s: float) -> Ahead | None:
    """The untreated course from now to the case's time cap, at least ten minutes.  Moves ``machine``: give a copy."""
    minutes = max(10.0, (time_cap_s - machine.t_s) / 60.0)
    return look_ahead(machine, minutes, dt_s=ROW_S, limits=())


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
        from_s=ahead.from_s if ahead is not None else playing.room.run.t_s,
        columns=[
            SheetColumn(signal=name, label=label_of(name), unit=scale_of(name, settings).unit) for name in COLUMNS
        ],
        course=_course(ahead, settings) if ahead is not None else [],
        course_note=COURSE_NOTE,
        problems=[
            SheetLine(title=problem.problem.kind, text=problem_text(problem.problem))
            for problem in state.problems
            if not problem.is_ended
        ],
        cues=[SheetLine(title=cue.why or cue.name, text=cue.words) for cue in scenario.cues],
        handouts=[SheetLine(title=f"{sheet.order} {sheet.title}", text=sheet.text) for sheet in scenario.handouts],
        answers=[SheetAnswer(asked=line.asked, who=line.who, said=line.said) for line in scenario.answers],
        do_not_say=list(scenario.do_not_say),
        drug_box=[SheetLine(title=box_item(row), text=f"{row.count} in the box") for row in box],
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


def _course(ahead: Ahead, settings: LabSettings) -> list[SheetRow]:
    rows = []
    for n, values in enumerate(ahead.values):
        now = dict(zip(ahead.names, values.tolist(), strict=True))
        cells = [SheetCell(signal=name, text=_cell(name, now, settings)) for name in COLUMNS]
        rows.append(SheetRow(t_s=ahead.from_s + n * ahead.dt_s, cells=cells))
    return rows


def _cell(name: str, now: dict[str, float], settings: LabSettings) -> str:
    scale = scale_of(name, settings)
    if name == "gcs_total":
        return mind_text(now["gcs_eye"], now["gcs_verbal"], now["gcs_motor"])
    if name == "systolic_pressure_mmhg":
        return f"{scale.text(now[name])}/{scale.text(now['diastolic_pressure_mmhg'])}"
    return scale.text(now[name])


def _clock(t_s: float) -> str:
    return f"{int(t_s) // 60}:{int(t_s) % 60:02d}"
