"""Messages of Home, of the start and close of a session, of settings, and of the paper run sheet.

``GET /api/home``, ``GET /api/session-form``, ``POST /api/runs``, ``POST /api/people``,
``GET|POST /api/sessions/{id}/close``, ``GET|PUT /api/settings``, ``GET /api/room/{room}/run-sheet``.
"""

from typing import Annotated, Literal

from pydantic import Field

from drillyard.web.wire import FaultView, Wire

Purpose = Literal["rehearsal", "session"]
RoleName = Literal["operator", "facilitator", "rater", "learner", "coordinator", "administrator"]
CountKind = Literal["training drug", "training fluid", "sharp"]
Words = Annotated[str, Field(max_length=500)]
Name = Annotated[str, Field(min_length=1, max_length=120)]


class ManikinFit(Wire):
    """How well one manikin fits one case.  ``text`` names the gaps."""

    manikin: str
    can_run: bool
    n_supplied_by_hand: int = Field(
        default=0, description="findings that must be told, handed over or set up as a prop"
    )
    n_cannot: int = Field(default=0, description="findings that cannot be supplied at all")
    text: str = ""


class CaseView(Wire):
    name: str
    title: str
    version: int
    status: Literal["draft", "piloted", "released", "retired"]
    setting: Literal["street", "ward"]
    level: Literal["novice", "intermediate", "experienced"]
    crew_size: int
    time_cap_s: float
    dispatch: str
    story: str
    patient_text: str
    objectives: list[str] = Field(default_factory=list)
    fits: list[ManikinFit] = Field(default_factory=list)
    n_runs: int = 0
    met_by: list[str] = Field(default_factory=list, description="names of the people who have met this case")
    faults: list[FaultView] = Field(default_factory=list)


class ManikinView(Wire):
    name: str
    title: str
    about: str = ""
    faults_today: list[str] = Field(default_factory=list)
    cautions: list[str] = Field(default_factory=list)


class RunView(Wire):
    """One line of 'runs so far'.  ``address`` leads to the control room while live, else to the debrief."""

    run_id: str
    room: str
    title: str
    scenario: str
    manikin: str
    purpose: Purpose
    state: Literal["open", "ended", "void"]
    started_wall: str = Field(description="local date and time in the lab's zone")
    crew_text: str = ""
    outcome: str | None = None
    session_id: str | None = None
    is_closed: bool = Field(default=True, description="false while a session's counts do not close")
    address: str


class ExposureView(Wire):
    person_id: str
    person: str
    scenario: str
    case_title: str
    seat: str
    met_wall: str
    run_id: str


class PersonView(Wire):
    person_id: str
    name: str
    role: RoleName
    met: list[str] = Field(default_factory=list, description="names of the scenarios that this person has met")


class RoomView(Wire):
    room: str
    run_id: str | None = None
    title: str = ""
    is_running: bool = False
    clock_s: float = 0.0
    control_address: str
    monitor_address: str


class HomeView(Wire):
    lab_name: str
    is_empty: bool = Field(description="no run yet: the screen explains the first hour")
    is_demo: bool
    one_person_lab: bool
    body: Literal["loading", "ready", "failed"]
    cases: list[CaseView]
    manikins: list[ManikinView]
    rooms: list[RoomView]
    runs: list[RunView]
    people: list[PersonView]
    exposures: list[ExposureView]
    faults: list[FaultView] = Field(
        default_factory=list, description="files of the lab folder that cannot be used, and why"
    )
    notice: str = Field(default="", description="one sentence about the lab, such as a full disk")


# ---- starting --------------------------------------------------------------------------------------------------


class CountRow(Wire):
    item: str
    kind: CountKind
    expected: int
    label: str = ""


class TickRow(Wire):
    """One safety tick.  ``tick`` is its text and its name."""

    tick: str
    why: str = ""


class SessionForm(Wire):
    """What a real session asks for before it starts."""

    scenario: str
    manikin: str
    seats: list[str]
    agreement_version: str
    agreement_text: list[str]
    counts: list[CountRow]
    ticks: list[TickRow]
    needs_second_name: bool = Field(description="true where the lab is not a one-person lab")
    cautions: list[str] = Field(default_factory=list)
    unseen_by: list[str] = Field(default_factory=list, description="people who have not met this case")


class CrewSeat(Wire):
    person_id: Name
    seat: Name
    agreed: bool = False


class CountIn(Wire):
    item: Name
    kind: CountKind
    counted_in: int = Field(ge=0, le=10_000)


class StartAsked(Wire):
    """A rehearsal needs ``scenario``, ``manikin`` and ``room``; a session needs the rest too.

    Two names are wanted for counts and ticks; ``one_name_reason`` says why one had to do.
    """

    purpose: Purpose = "rehearsal"
    scenario: Name
    manikin: Name
    room: Name
    crew: list[CrewSeat] = Field(default_factory=list, max_length=20)
    counts: list[CountIn] = Field(default_factory=list, max_length=200)
    ticks: list[Words] = Field(default_factory=list, max_length=100)
    signed_by: str = Field(default="", max_length=120)
    second_name: str = Field(default="", max_length=120)
    one_name_reason: str = Field(default="", max_length=500)
    seed: int | None = Field(default=None, ge=0, le=2**31 - 1)


class Started(Wire):
    run_id: str
    room: str
    session_id: str | None = None
    control_address: str
    monitor_address: str


class PersonAsked(Wire):
    name: Name
    role: RoleName = "learner"


# ---- closing ---------------------------------------------------------------------------------------------------


class CountState(Wire):
    item: str
    kind: CountKind
    counted_in: int
    used: int = Field(description="from the log of the run")
    expected_out: int
    counted_out: int | None = None


class CloseForm(Wire):
    session_id: str
    title: str
    is_closed: bool
    counts: list[CountState]
    text: str = ""


class CountOut(Wire):
    item: Name
    counted_out: int = Field(ge=0, le=10_000)


class CloseAsked(Wire):
    counts: list[CountOut] = Field(default_factory=list, max_length=200)
    signed_by: Name
    second_name: str = Field(default="", max_length=120)
    one_name_reason: str = Field(default="", max_length=500)


# ---- settings --------------------------------------------------------------------------------------------------


class SettingsView(Wire):
    """The lab's own choices.  Units change what screens show, never what is stored."""

    lab_name: str
    pressure_unit: Literal["mmHg", "kPa"]
    gas_tension_unit: Literal["mmHg", "kPa"]
    glucose_unit: Literal["mg/dL", "mmol/L"]
    temperature_unit: Literal["degC", "degF"]
    weight_unit: Literal["kg", "lb"]
    drug_words: Literal["epinephrine", "adrenaline"]
    zone: str
    one_person_lab: bool
    recovery_limit_s: float
    stop_word: str
    emergency_word: str
    agreement_version: str
    rooms: list[str]


class SettingsChange(Wire):
    """Only what changes is sent."""

    lab_name: Name | None = None
    pressure_unit: Literal["mmHg", "kPa"] | None = None
    gas_tension_unit: Literal["mmHg", "kPa"] | None = None
    glucose_unit: Literal["mg/dL", "mmol/L"] | None = None
    temperature_unit: Literal["degC", "degF"] | None = None
    weight_unit: Literal["kg", "lb"] | None = None
    drug_words: Literal["epinephrine", "adrenaline"] | None = None
    zone: Name | None = None
    one_person_lab: bool | None = None
    recovery_limit_s: float | None = Field(default=None, ge=0.0, le=86_400.0)
    stop_word: Name | None = None
    emergency_word: Name | None = None
    rooms: Annotated[list[Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]], Field(max_length=40)] | None = (
        None
    )


# ---- the paper run sheet: the run goes on from this if the computer dies -----------------------------------------


class SheetCell(Wire):
    signal: str
    text: str


class SheetRow(Wire):
    """The patient at one minute if nothing is done."""

    t_s: float
    cells: list[SheetCell]


class SheetColumn(Wire):
    signal: str
    label: str
    unit: str


class SheetAnswer(Wire):
    asked: str
    who: str
    said: str
    when: str = Field(default="", description="while this holds, in words; empty for always")


class SheetLine(Wire):
    title: str
    text: str


class SheetExpected(Wire):
    """Something that the crew is expected to do, to be ticked by hand; ``at_text`` where the log has it already."""

    text: str
    detail: str = ""
    at_text: str = ""


class RunSheet(Wire):
    """Everything that an operator needs on paper.  ``course`` starts at the moment of ``from_s``."""

    run_id: str
    title: str
    made_wall: str
    manikin: str
    crew_text: str
    purpose: Purpose
    time_cap_s: float
    dispatch: str
    patient_text: str
    history: list[SheetLine]
    phases: list[SheetLine] = Field(description="title is the phase, text the time it was entered or empty")
    objectives: list[SheetExpected] = Field(description="what shall be seen, in the order of the case")
    expected: list[SheetExpected] = Field(description="procedures that the case expects, in its order")
    timed: list[SheetLine] = Field(description="times to write for the measures: name and target")
    from_s: float
    columns: list[SheetColumn]
    course: list[SheetRow]
    course_note: str
    problems: list[SheetLine]
    cues: list[SheetLine] = Field(description="title is when to say it, text what is said")
    handouts: list[SheetLine]
    answers: list[SheetAnswer]
    do_not_say: list[str]
    drug_box: list[SheetLine]
    hazards: list[SheetLine]
    log: list[SheetLine]
    stop_word: str
    emergency_word: str
    training_mark: str
