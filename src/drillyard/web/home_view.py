"""Home, forms and settings as messages."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from drillyard.core.lab.readiness import AGREEMENT
from drillyard.core.manikin.coverage import Coverage, coverage
from drillyard.core.manikin.profile import Profile
from drillyard.core.quantities.faults import Refusal
from drillyard.core.scenario.model import Scenario
from drillyard.service.lab import Lab
from drillyard.service.lab_files import Opened
from drillyard.service.paperwork import Form
from drillyard.service.queries import met_names
from drillyard.service.records import LabSettings, RunRecord, SessionRecord
from drillyard.web.home_messages import (
    CaseView,
    CloseForm,
    CountRow,
    CountState,
    ExposureView,
    HomeView,
    ManikinFit,
    ManikinView,
    PersonView,
    RoomView,
    RunView,
    SessionForm,
    SettingsView,
    TickRow,
)
from drillyard.web.refusals import fault_view
from drillyard.web.units import weight_text
from drillyard.web.wire import FaultView

MOST_RUNS: Final = 200


def control_address(room: str) -> str:
    """Where the control room of a room is."""
    return f"/control/{room}"


def monitor_address(room: str) -> str:
    """Where the room monitor of a room is."""
    return f"/monitor/{room}"


def debrief_address(run_id: str) -> str:
    """Where the debrief of a run is."""
    return f"/debrief/{run_id}"


def local_time(wall_utc: str, zone: str) -> str:
    """A stored time of day in the lab's zone, to the minute."""
    moment = datetime.fromisoformat(wall_utc)
    try:
        return moment.astimezone(ZoneInfo(zone)).strftime("%Y-%m-%d %H:%M")
    except (ZoneInfoNotFoundError, ValueError):
        return moment.strftime("%Y-%m-%d %H:%M %Z")


def home_view(lab: Lab) -> HomeView:
    """Everything that Home shows.  Reads files and store: call it in a worker thread."""
    scenarios, manikins = lab.files.scenarios(), lab.files.manikins()
    runs = lab.store.runs.newest(MOST_RUNS)
    sessions = {session.session_id: session for session in lab.store.sessions.newest()}
    met = met_names(lab)
    # A copied profile that still has the old name is among the files to mend, not among the manikins.
    profiles = [opened.record for opened in manikins if opened.record is not None and opened.record.name == opened.name]
    return HomeView(
        lab_name=lab.settings.lab_name,
        is_empty=not runs,
        is_demo=lab.files.is_demo,
        one_person_lab=lab.settings.one_person_lab,
        body=lab.body,
        cases=[
            _case(opened.record, opened, profiles, runs, met, lab.settings)
            for opened in scenarios
            if opened.record is not None
        ],
        manikins=[_manikin(profile) for profile in profiles],
        rooms=_rooms(lab),
        runs=[_run(record, sessions, lab) for record in runs],
        people=_people(lab),
        exposures=_exposures(lab, scenarios),
        faults=_faults(scenarios, manikins),
        notice=_notice(lab),
    )


def _case(
    scenario: Scenario,
    opened: Opened[Scenario],
    profiles: list[Profile],
    runs: list[RunRecord],
    met: dict[str, list[str]],
    settings: LabSettings,
) -> CaseView:
    patient = scenario.patient
    return CaseView(
        name=opened.name,
        title=scenario.title,
        version=scenario.version,
        status=scenario.status,
        setting=scenario.setting,
        level=scenario.level,
        crew_size=scenario.crew_size,
        time_cap_s=scenario.time_cap_s,
        dispatch=scenario.dispatch,
        story=scenario.story,
        patient_text=f"{patient.age_years:g} years, {patient.sex}, {weight_text(patient.mass_kg, settings)}",
        objectives=[objective.text for objective in scenario.objectives],
        fits=[fit_view(coverage(scenario, profile)) for profile in profiles],
        n_runs=sum(run.scenario == scenario.name and run.state != "void" for run in runs),
        met_by=met.get(scenario.name, []),
        faults=[fault_view(fault) for fault in opened.faults],
    )


def fit_view(found: Coverage) -> ManikinFit:
    """How well one manikin fits a case, from its coverage."""
    needed = [row for row in found.findings if row.weight]
    by_hand = [row for row in needed if row.way in ("told", "card", "print", "prop", "embedded participant")]
    cannot = [row for row in needed if row.way == "cannot be supplied"]
    text = f"{len(needed) - len(by_hand) - len(cannot)} of {len(needed)} findings are found on it or on a monitor"
    if by_hand:
        text += f", {len(by_hand)} you say, show or hand over"
    if found.gaps:
        text += f"; not possible: {', '.join(found.gaps)}"
    return ManikinFit(
        manikin=found.manikin,
        can_run=not found.gaps,
        n_supplied_by_hand=len(by_hand),
        n_cannot=len(cannot),
        text=text,
    )


def _manikin(profile: Profile) -> ManikinView:
    return ManikinView(
        name=profile.name,
        title=profile.title,
        about=profile.about,
        faults_today=[fault.what for fault in profile.faults],
        cautions=list(profile.cautions),
    )


def _rooms(lab: Lab) -> list[RoomView]:
    rooms = []
    for room in lab.settings.rooms:
        playing = lab.playing.get(room)
        if playing is not None and playing.is_over:
            playing = None  # ended: the screens still show it, and the next run may start
        rooms.append(
            RoomView(
                room=room,
                run_id=playing.record.run_id if playing else None,
                title=playing.record.title if playing else "",
                is_running=playing.room.is_moving if playing else False,
                clock_s=playing.room.run.t_s if playing else 0.0,
                control_address=control_address(room),
                monitor_address=monitor_address(room),
            )
        )
    return rooms


def _run(record: RunRecord, sessions: dict[str, SessionRecord], lab: Lab) -> RunView:
    session = sessions.get(record.session_id or "")
    playing = lab.playing.get(record.room)
    is_live = playing is not None and playing.record.run_id == record.run_id and not playing.is_over
    return RunView(
        run_id=record.run_id,
        room=record.room,
        title=record.title,
        scenario=record.scenario,
        manikin=record.manikin,
        purpose=record.purpose,
        state=record.state,
        started_wall=local_time(record.created_wall_utc, record.zone),
        crew_text=record.crew_text,
        outcome=record.outcome,
        session_id=record.session_id,
        is_closed=session is None or session.closed_wall_utc is not None,
        address=control_address(record.room) if is_live else debrief_address(record.run_id),
    )


def _people(lab: Lab) -> list[PersonView]:
    met: dict[str, list[str]] = {}
    for exposure in lab.store.people.exposures():
        met.setdefault(exposure.person_id, []).append(exposure.scenario)
    return [
        PersonView(
            person_id=person.person_id,
            name=person.name,
            role=person.role,
            met=list(dict.fromkeys(met.get(person.person_id, []))),
        )
        for person in lab.store.people.people()
    ]


def _exposures(lab: Lab, scenarios: Sequence[Opened[Scenario]]) -> list[ExposureView]:
    names = {person.person_id: person.name for person in lab.store.people.people(include_inactive=True)}
    titles = {opened.name: opened.record.title for opened in scenarios if opened.record is not None}
    return [
        ExposureView(
            person_id=row.person_id,
            person=names.get(row.person_id, row.person_id),
            scenario=row.scenario,
            case_title=titles.get(row.scenario, row.scenario),
            seat=row.seat,
            met_wall=local_time(row.met_wall_utc, lab.settings.zone),
            run_id=row.run_id,
        )
        for row in lab.store.people.exposures()
    ]


def _faults(*groups: Sequence[Opened[Any]]) -> list[FaultView]:
    """Files that cannot be used; a file with warnings only shows them beside its case."""
    return [
        fault_view(fault)
        for group in groups
        for opened in group
        if opened.record is None or any(not fault.is_warning for fault in opened.faults)
        for fault in opened.faults
    ]


def _notice(lab: Lab) -> str:
    if lab.body == "failed":
        return lab.body_text
    if lab.store.is_full():
        return "The disk is full: nothing new can be kept. Free some space; runs that are under way carry on."
    titles = {record.run_id: f"“{record.title}” in {record.room}" for record in lab.store.runs.newest(MOST_RUNS)}
    return " ".join(f"{titles.get(run_id, run_id)}: {sentence}" for run_id, sentence in lab.not_resumed.items())


# ---- forms and settings ---------------------------------------------------------------------------------------------


def form_view(form: Form, scenario: str, manikin: str, settings: LabSettings) -> SessionForm:
    """What a real session asks for before it starts."""
    return SessionForm(
        scenario=scenario,
        manikin=manikin,
        seats=list(form.seats),
        agreement_version=settings.agreement_version,
        agreement_text=list(AGREEMENT),
        counts=[CountRow(item=row.item, kind=row.kind, expected=row.counted_in) for row in form.counts],
        ticks=[TickRow(tick=tick.text, why=tick.why) for tick in form.ticks],
        needs_second_name=not settings.one_person_lab,
        cautions=list(form.cautions),
        unseen_by=list(form.unseen_by),
    )


def close_view(session: SessionRecord, title: str, text: str = "") -> CloseForm:
    """The count sheet of a session."""
    return CloseForm(
        session_id=session.session_id,
        title=title,
        is_closed=session.closed_wall_utc is not None,
        counts=[
            CountState(
                item=row.item,
                kind=row.kind,
                counted_in=row.counted_in,
                used=row.used,
                expected_out=row.counted_in,
                counted_out=row.counted_out,
            )
            for row in session.counts
        ],
        text=text or session.closed_reason,
    )


def settings_view(settings: LabSettings) -> SettingsView:
    """The lab's choices."""
    return SettingsView(
        lab_name=settings.lab_name,
        pressure_unit=settings.pressure_unit,
        gas_tension_unit=settings.gas_tension_unit,
        glucose_unit=settings.glucose_unit,
        temperature_unit=settings.temperature_unit,
        weight_unit=settings.weight_unit,
        drug_words=settings.drug_words,
        zone=settings.zone,
        one_person_lab=settings.one_person_lab,
        recovery_limit_s=settings.recovery_limit_s,
        stop_word=settings.stop_word,
        emergency_word=settings.emergency_word,
        agreement_version=settings.agreement_version,
        rooms=list(settings.rooms),
    )


def is_known_zone(zone: str) -> bool:
    """Whether a zone is one that this machine knows."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def title_of(lab: Lab, scenario: str) -> str:
    """The title of a case, its name where the file is gone or broken."""
    try:
        opened = lab.files.scenario(scenario)
    except Refusal:
        return scenario
    return opened.record.title if opened.record is not None else scenario
