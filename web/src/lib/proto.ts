// Made from src/drillyard/web by `python -m drillyard.web.typescript`.  Do not edit: change the messages there.
// Numbers are in the unit at the end of their name; times of a run are seconds from time zero.

export interface Ack {
  type: "ack";
  client_id: string;
  seq: number | null;
  text: string;
}

/** An entry as it would have been typed, at another time. */
export interface AddEntry {
  do: "add";
  typed: string;
  t_s: number;
}

/** One line of the question-and-answer card that holds now. */
export interface AnswerView {
  asked: string;
  who: string;
  said: string;
}

/** The crew asked for a finding that has not been supplied yet. */
export interface AskFinding {
  do: "ask";
  finding: string;
}

export interface Attach {
  kind: "attach";
  sensor: "ECG electrodes" | "finger probe" | "pressure cuff" | "CO2 sampling line" | "temperature probe";
  site: string;
}

/**
 * How one row of the river is drawn: the signal's own name, unit as shown and the factor from core unit.
 *
 * A drawn value is ``value * factor + offset``.
 */
export interface AxisView {
  signal: string;
  label: string;
  system: string;
  unit: string;
  factor: number;
  offset: number;
  low: number;
  high: number;
  decimals: number;
}

export interface CaseView {
  name: string;
  title: string;
  version: number;
  status: "draft" | "piloted" | "released" | "retired";
  setting: "street" | "ward";
  level: "novice" | "intermediate" | "experienced";
  crew_size: number;
  time_cap_s: number;
  dispatch: string;
  story: string;
  patient_text: string;
  objectives: string[];
  fits: ManikinFit[];
  n_runs: number;
  /** names of the people who have met this case */
  met_by: string[];
  faults: FaultView[];
}

export interface CauseChoices {
  causes: CauseView[];
  signals: FindSignal[];
}

/** A problem whose size may be searched for; ``least`` and ``most`` in ``unit``. */
export interface CauseView {
  id: string;
  label: string;
  unit: string;
  least: number;
  most: number;
  is_present: boolean;
}

export interface ChangeProblem {
  do: "change problem";
  name: string;
  size: number;
}

/** Suction, back blows, forceps: takes away what blocks the upper airway. */
export interface ClearAirway {
  kind: "clear airway";
  how: string;
  cleared_frac: number;
}

export interface CloseAsked {
  counts?: CountOut[];
  signed_by: string;
  second_name?: string;
  one_name_reason?: string;
}

export interface CloseForm {
  session_id: string;
  title: string;
  is_closed: boolean;
  counts: CountState[];
  text: string;
}

/**
 * A command kept longer than 5 s is refused, never fired unasked.  A repeated ``client_id`` is acknowledged again
 * and not done twice.
 */
export interface CommandSent {
  type: "command";
  client_id: string;
  actor?: string;
  /** how long the client has kept it */
  age_ms?: number;
  command: EnterText | EnterPhase | GiveCue | TickSet | SupplyFinding | AskFinding | Undo | Correct | SetHold | ReleaseHold | EndProblem | ChangeProblem | SetProblem | Pause | Resume | JumpTime | WriteNote | SayStopWord | SayEmergency | EndRun | StartAgain | GoBackToGood;
}

export interface Completion {
  insert: string;
  label: string;
}

export interface Compress {
  kind: "compress";
  rate_per_min: number;
  depth_cm: number;
  recoil_frac: number;
}

/** Tourniquet, packing or pressure on a wound of the named site; a binder on the pelvis, massage of a slack womb. */
export interface ControlBleeding {
  kind: "control bleeding";
  how: "tourniquet" | "packing" | "direct pressure" | "pelvic binder" | "massage";
  site: string;
  stopped_frac: number;
}

export interface Correct {
  do: "correct";
  seq: number;
  typed: string;
  t_s?: number | null;
  effect?: "record only" | "rebase";
  confirmed?: boolean;
}

export interface CountIn {
  item: string;
  kind: "training drug" | "training fluid" | "sharp";
  counted_in: number;
}

export interface CountOut {
  item: string;
  counted_out: number;
}

export interface CountRow {
  item: string;
  kind: "training drug" | "training fluid" | "sharp";
  expected: number;
  label: string;
}

export interface CountState {
  item: string;
  kind: "training drug" | "training fluid" | "sharp";
  counted_in: number;
  /** from the log of the run */
  used: number;
  expected_out: number;
  counted_out: number | null;
}

export interface CrewSeat {
  person_id: string;
  seat: string;
  agreed?: boolean;
}

export interface CueView {
  id: string;
  /** F1, F2 ... */
  key: string;
  words: string;
  why: string;
  how: "on the manikin" | "room monitor" | "crew's own device" | "told" | "card" | "print" | "prop";
  finding: string | null;
}

export interface DebriefView {
  run_id: string;
  title: string;
  scenario: string;
  manikin: string;
  crew_text: string;
  purpose: "rehearsal" | "session";
  state: "open" | "ended" | "void";
  started_wall: string;
  end_s: number;
  outcome: string | null;
  ended_because: string;
  phases: PhaseSpan[];
  rows: AxisView[];
  true_tracks: Track[];
  shown_tracks: Track[];
  rings: Ring[];
  log: LogLine[];
  holds: HeldSpan[];
  jumps: JumpSpan[];
  problems: ProblemSpan[];
  rhythm: RhythmSpan[];
  measures: MeasureView[];
  notes: NoteView[];
  /** questions to open with, from the scenario's plan */
  opening: string[];
  /** at most three talking points that the objectives suggest */
  points: string[];
  can_what_if: boolean;
  /** a sentence when a what-if is not possible or the body is another one */
  what_if_text: string;
  training_mark: string;
}

/** Needle decompression.  ``space`` is the intercostal space. */
export interface DecompressChest {
  kind: "decompress chest";
  side: "left" | "right";
  space: number;
  line: "anterior axillary" | "mid axillary" | "mid clavicular";
  gauge: number;
}

/** What changed since the last message; absent parts are unchanged.  ``track_tail`` is appended. */
export interface Delta {
  type: "delta";
  clock_s: number;
  run: RunHead | null;
  phases: PhaseView[] | null;
  numbers: NumberView[] | null;
  track_tail: Track[];
  rings: Ring[] | null;
  /** whole list when changed */
  log: LogLine[] | null;
  cues: CueView[] | null;
  set_by_hand: SetByHandView[] | null;
  supply: SupplyView[] | null;
  problems: ProblemView[] | null;
  holds: HoldView[] | null;
  answers: AnswerView[] | null;
  notices: string[] | null;
  monitor: MonitorView | null;
}

export interface Detach {
  kind: "detach";
  sensor: "ECG electrodes" | "finger probe" | "pressure cuff" | "CO2 sampling line" | "temperature probe";
}

/** It is done and on disk. */
export interface Done {
  is_done: true;
}

export interface EndProblem {
  do: "end problem";
  name: string;
}

export interface EndRun {
  do: "end";
  reason?: string;
}

export interface EnterPhase {
  do: "phase";
  phase: string;
}

/** Enter on the entry line.  The server parses again; a refusal comes back as ``refused`` with a question. */
export interface EnterText {
  do: "enter";
  typed: string;
  confirmed?: boolean;
  late_t_s?: number | null;
  late_effect?: "record only" | "rebase";
}

/** A look, a feel, a listen.  ``finding`` is a name of the finding catalogue, or free words. */
export interface Examine {
  kind: "examine";
  finding: string;
  side: "left" | "right" | null;
}

export interface ExposureView {
  person_id: string;
  person: string;
  scenario: string;
  case_title: string;
  seat: string;
  met_wall: string;
  run_id: string;
}

/** One thing that is wrong.  ``sentence`` stands alone; the rest lets a form mark the right field. */
export interface FaultView {
  code: string;
  sentence: string;
  file: string;
  line: number | null;
  field: string;
  near: string[];
  is_warning: boolean;
}

/** ``size`` is what ``SetProblem`` takes; ``ahead`` the course with it, nothing else being done. */
export interface FindAnswer {
  cause: string;
  label: string;
  sentence: string;
  is_reached: boolean;
  size: number;
  size_text: string;
  value_text: string;
  /** what the log is to say beside the problem, if it is set */
  reason: string;
  n_runs: number;
  took_ms: number;
  ahead: LookAhead;
}

/** Which size of ``cause`` makes ``signal`` come to ``value`` (in the lab's unit) in ``minutes``? */
export interface FindAsked {
  cause: string;
  signal: string;
  value: number;
  minutes: number;
}

/** A signal that may be asked for, in the lab's unit; ``now`` as it is. */
export interface FindSignal {
  signal: string;
  label: string;
  unit: string;
  now: number | null;
}

export interface GiveCue {
  do: "cue";
  id: string;
}

/** One dose of a drug.  ``dose`` is in ``dose_unit``, the drug file's own unit (mg or ug for most). */
export interface GiveDrug {
  kind: "give drug";
  drug: string;
  dose: number;
  dose_unit: "mg" | "ug" | "units" | "mmol" | "mL";
  route: "IV" | "IO" | "IM" | "SC" | "IN" | "SL" | "PO" | "PR" | "nebulised" | "inhaled" | "ETT";
  site: string;
  over_s: number;
  confirmed_unusual: boolean;
}

export interface GiveOxygen {
  kind: "give oxygen";
  device: "nasal cannula" | "simple mask" | "reservoir mask" | "bag with reservoir" | "bag without reservoir" | "tight circuit" | "high-flow nasal cannula";
  flow_l_per_min: number;
}

/** Only while the body is frozen: back to the last good snapshot, paused; entries after it are taken back. */
export interface GoBackToGood {
  do: "go back to good";
}

/** ``body``: "loading" until the compiled patient is in memory; runs can be started once it is "ready". */
export interface Health {
  version: string;
  server_id: string;
  body: "loading" | "ready" | "failed";
  /** a sentence when the body failed to load */
  body_text: string;
  lab_name: string;
  training_mark: string;
}

/** A value held by hand; shown to operator and debriefer, never to learners while they played. */
export interface HeldSpan {
  what: string;
  label: string;
  /** the row of the river that shows it; empty where none does */
  row: string;
  from_s: number;
  to_s: number;
  display_only: boolean;
  reason: string;
}

/** A cause by which an outcome may be held. */
export interface HoldCause {
  name: string;
  way: "lowers" | "raises" | "lowers or raises";
  limits: string;
}

/** Something held: an effector of the body, an outcome of the body by a named cause, or a value on the monitor. */
export interface HoldView {
  what: string;
  label: string;
  value: number;
  unit: string;
  kind: "effector" | "outcome" | "display";
  display_only: boolean;
  is_releasing: boolean;
  /** the cause that moves an outcome */
  by: string;
  /** what an outcome is now, with its unit */
  actual_text: string;
  /** what its cause does now */
  doing: string;
  is_at_limit: boolean;
}

/**
 * Something the operator may hold: an effector of the body, an outcome of the body by one of ``causes``, or a
 * signal on the room monitor (display only).
 */
export interface HoldableView {
  what: string;
  label: string;
  unit: string;
  low: number;
  high: number;
  kind: "effector" | "outcome" | "display";
  display_only: boolean;
  causes: HoldCause[];
  /** the value from which a new hold starts: that of now, where there is one */
  start: number;
  /** the signal that shows it as it is */
  signal: string | null;
}

export interface HomeView {
  lab_name: string;
  /** no run yet: the screen explains the first hour */
  is_empty: boolean;
  is_demo: boolean;
  one_person_lab: boolean;
  body: "loading" | "ready" | "failed";
  cases: CaseView[];
  manikins: ManikinView[];
  rooms: RoomView[];
  runs: RunView[];
  people: PersonView[];
  exposures: ExposureView[];
  /** files of the lab folder that cannot be used, and why */
  faults: FaultView[];
  /** one sentence about the lab, such as a full disk */
  notice: string;
}

/** A tube that drains air and blood from a pleural space. */
export interface InsertChestTube {
  kind: "insert chest tube";
  side: "left" | "right";
}

/** Time that passed at once: nobody lived through it. */
export interface JumpSpan {
  from_s: number;
  to_s: number;
  text: string;
}

export interface JumpTime {
  do: "jump";
  minutes: number;
}

export interface LogLine {
  seq: number;
  t_s: number;
  kind: string;
  text: string;
  by: string;
  is_undone: boolean;
  is_late: boolean;
  /** an intervention, drawn as a thin line through the river */
  is_cut: boolean;
  cut_label: string;
  can_undo: boolean;
  action: GiveDrug | StartInfusion | StopInfusion | StartFluid | StopFluid | PlaceLine | RemoveLine | GiveOxygen | StopOxygen | OpenAirway | PlaceAirway | RemoveAirway | ClearAirway | Ventilate | SetVentilator | StopVentilating | ControlBleeding | ReleaseBleeding | DecompressChest | InsertChestTube | SealChest | Compress | StopCompressions | Shock | Position | Attach | Detach | MeasurePressure | RepeatPressure | Examine | Survey | Say | Other | null;
  /** what was typed, so that a correction starts from it */
  typed: string;
  note: string;
}

export interface LookAhead {
  type: "look_ahead";
  from_s: number;
  tracks: Track[];
  thresholds: Threshold[];
}

/** How well one manikin fits one case.  ``text`` names the gaps. */
export interface ManikinFit {
  manikin: string;
  can_run: boolean;
  /** findings that must be told, handed over or set up as a prop */
  n_supplied_by_hand: number;
  /** findings that cannot be supplied at all */
  n_cannot: number;
  text: string;
}

export interface ManikinView {
  name: string;
  title: string;
  about: string;
  faults_today: string[];
  cautions: string[];
}

/** One cuff cycle, asked for by the crew; its result is an event of its own. */
export interface MeasurePressure {
  kind: "measure pressure";
  site: string;
}

/** One measure.  Crew measures read what the crew could know; a burden reads the body and says so. */
export interface MeasureView {
  id: number;
  name: string;
  definition: string;
  source: string;
  target: string;
  /** S: the target comes from the published source; L: a local teaching choice; memory: not looked up */
  source_kind: "S" | "L" | "memory";
  verdict: "met" | "not met" | "cannot say" | "not applicable" | "no target";
  value: number | null;
  unit: string;
  text: string;
  /** one standard deviation, as printed */
  uncertainty: string;
  /** not done by the end: the true value is larger */
  is_censored: boolean;
  about: "crew" | "patient, not crew";
  /** events that the value rests on */
  seqs: number[];
  /** where the cursor goes when the measure is opened */
  t_s: number | null;
  note: string;
}

/** A limit that the two courses cross at different times, or only one of them. */
export interface Milestone {
  text: string;
  in_run_s: number | null;
  what_if_s: number | null;
  /** the difference in words: sooner, later, or not at all */
  said: string;
}

export interface MonitorSensor {
  sensor: string;
  is_on: boolean;
  site: string;
}

/** Everything that the room monitor may show; null until its sensor is on. */
export interface MonitorView {
  sensors: MonitorSensor[];
  heart_rate: string | null;
  spo2: string | null;
  etco2: string | null;
  respiratory_rate: string | null;
  temperature: string | null;
  cuff_text: string | null;
  cuff_mean: string | null;
  cuff_t_s: number | null;
  cuff_state: "idle" | "inflating" | "measuring" | "failed";
  cuff_cycle_s: number | null;
  cuff_next_s: number | null;
  cuff_pressure_mmhg: number | null;
  pressure_unit: string;
  gas_tension_unit: string;
  temperature_unit: string;
  /** each begins with its priority mark: '!!! ' high, '!! ' medium, '! ' low */
  alarms: string[];
}

export interface MoveEvent {
  do: "move";
  seq: number;
  t_s: number;
}

export interface NoteAsked {
  text: string;
  author?: string;
  t_s?: number | null;
  about_seq?: number | null;
}

export interface NoteView {
  note_id: string;
  author: string;
  written_wall: string;
  text: string;
  t_s: number | null;
  about_seq: number | null;
}

/** One row of the river: truth and what the crew can see, raw values in core units. */
export interface NumberView {
  signal: string;
  label: string;
  system: string;
  unit: string;
  value: number | null;
  /** as shown, in the lab's unit; E3 V4 M6 for the mind */
  text: string;
  sub_text: string;
  /** what the room monitor shows the crew, null when no sensor is on */
  shown_text: string | null;
  low: number;
  high: number;
  is_held: boolean;
}

/** Head tilt or jaw thrust, held until released. */
export interface OpenAirway {
  kind: "open airway";
  how: "head tilt" | "jaw thrust";
  held: boolean;
}

/** Anything that the body does not model; kept in the log, changes nothing, and says so. */
export interface Other {
  kind: "other";
  text: string;
}

/** ``echo`` is the full sentence; ``emphasis`` are words of it that deserve weight (side, dose). */
export interface ParseAnswer {
  is_complete: boolean;
  echo: string;
  emphasis: string[];
  /** grey continuation of what is typed */
  ghost: string;
  /** predicted effect, empty when none is modelled */
  predicted: string;
  warning: string;
  needs_confirmation: boolean;
  not_modelled: boolean;
  /** asked when the entry is ambiguous */
  question: string;
  completions: Completion[];
}

/** ``predict`` false leaves the predicted effect out and answers at once: the sentence first, the effect after. */
export interface ParseAsked {
  typed: string;
  predict?: boolean;
}

export interface Pause {
  do: "pause";
}

export interface PersonAsked {
  name: string;
  role?: "operator" | "facilitator" | "rater" | "learner" | "coordinator" | "administrator";
}

export interface PersonView {
  person_id: string;
  name: string;
  role: "operator" | "facilitator" | "rater" | "learner" | "coordinator" | "administrator";
  /** names of the scenarios that this person has met */
  met: string[];
}

export interface PhaseSpan {
  phase: string;
  from_s: number;
  to_s: number;
}

export interface PhaseView {
  /** the single key that enters the phase */
  key: string;
  name: string;
  entered_t_s: number | null;
  is_current: boolean;
}

/** A pharyngeal airway, supraglottic airway or tracheal tube. */
export interface PlaceAirway {
  kind: "place airway";
  device: "pharyngeal airway" | "supraglottic airway" | "tracheal tube";
  size: number;
  depth_cm: number;
  place: "trachea" | "gullet" | "right main stem";
  leak_frac: number;
}

/** An intravenous or intraosseous line.  ``gauge`` as printed on the hub. */
export interface PlaceLine {
  kind: "place line";
  line_kind: "IV" | "IO";
  site: string;
  gauge: number;
  patent: boolean;
}

export interface Position {
  kind: "position";
  posture: "flat" | "head up 30" | "sitting" | "legs raised" | "recovery position" | "left tilt";
}

export interface ProblemSpan {
  name: string;
  text: string;
  from_s: number;
  to_s: number | null;
}

export interface ProblemView {
  name: string;
  kind: string;
  text: string;
  size_text: string;
  is_ended: boolean;
  /** what ChangeProblem changes, in core units; null: cannot be changed */
  size: number | null;
  size_unit: string;
  size_low: number;
  size_high: number;
}

/** The body of every answer that is not a success. */
export interface RefusalView {
  sentence: string;
  faults: FaultView[];
}

export interface Refused {
  type: "refused";
  client_id: string;
  sentence: string;
  needs_confirmation: boolean;
  suggestions: string[];
}

export interface ReleaseBleeding {
  kind: "release bleeding";
  site: string;
}

export interface ReleaseHold {
  do: "release";
  what: string;
  /** null: the usual time of what is held */
  over_s?: number | null;
}

export interface RemoveAirway {
  kind: "remove airway";
}

export interface RemoveEvent {
  do: "remove";
  seq: number;
}

export interface RemoveLine {
  kind: "remove line";
  site: string;
}

/**
 * The monitor set to cycle the cuff by itself, the first time at once; ``every_s`` 0 sets it back to by hand.
 * No ``site``: where the cuff is.
 */
export interface RepeatPressure {
  kind: "repeat pressure";
  every_s: number;
  site: string;
}

export interface ReplaceEvent {
  do: "replace";
  seq: number;
  typed: string;
}

export interface Resume {
  do: "resume";
}

export interface RhythmSpan {
  from_s: number;
  text: string;
}

/** What the crew obtained: drawn as a ring on the river. */
export interface Ring {
  t_s: number;
  signal: string;
  value: number | null;
  text: string;
  how: "on the manikin" | "room monitor" | "crew's own device" | "told" | "card" | "print" | "prop";
}

export interface RoomView {
  room: string;
  run_id: string | null;
  title: string;
  is_running: boolean;
  clock_s: number;
  control_address: string;
  monitor_address: string;
}

export interface RunHead {
  run_id: string;
  room: string;
  title: string;
  scenario: string;
  manikin: string;
  crew_text: string;
  purpose: "rehearsal" | "session";
  is_running: boolean;
  is_ended: boolean;
  outcome: string | null;
  stop_word: string;
  emergency_word: string;
  time_jumps_min: number[];
  time_cap_s: number;
  dispatch: string;
  patient_text: string;
  recovered_text: string;
  /** where the last good snapshot lies while the body is frozen */
  good_t_s: number | null;
  /** a sentence when the body froze or the disk refuses */
  fault_text: string;
}

/** Everything that an operator needs on paper.  ``course`` starts at the moment of ``from_s``. */
export interface RunSheet {
  run_id: string;
  title: string;
  made_wall: string;
  manikin: string;
  crew_text: string;
  purpose: "rehearsal" | "session";
  time_cap_s: number;
  dispatch: string;
  patient_text: string;
  history: SheetLine[];
  /** title is the phase, text the time it was entered or empty */
  phases: SheetLine[];
  /** what shall be seen, in the order of the case */
  objectives: SheetExpected[];
  /** procedures that the case expects, in its order */
  expected: SheetExpected[];
  /** times to write for the measures: name and target */
  timed: SheetLine[];
  from_s: number;
  columns: SheetColumn[];
  course: SheetRow[];
  course_note: string;
  problems: SheetLine[];
  /** title is when to say it, text what is said */
  cues: SheetLine[];
  handouts: SheetLine[];
  answers: SheetAnswer[];
  do_not_say: string[];
  drug_box: SheetLine[];
  hazards: SheetLine[];
  log: SheetLine[];
  stop_word: string;
  emergency_word: string;
  training_mark: string;
}

/** One line of 'runs so far'.  ``address`` leads to the control room while live, else to the debrief. */
export interface RunView {
  run_id: string;
  room: string;
  title: string;
  scenario: string;
  manikin: string;
  purpose: "rehearsal" | "session";
  state: "open" | "ended" | "void";
  /** local date and time in the lab's zone */
  started_wall: string;
  crew_text: string;
  outcome: string | null;
  session_id: string | null;
  /** false while a session's counts do not close */
  is_closed: boolean;
  address: string;
}

/** Words that matter: order, read-back, call-out, question, report item, request. */
export interface Say {
  kind: "say";
  what: "order" | "read-back" | "call-out" | "asked history" | "asked allergy" | "stated weight" | "leader named" | "called for help" | "report started" | "report item" | "report ended" | "handover";
  text: string;
}

export interface SayEmergency {
  do: "real emergency";
}

export interface SayStopWord {
  do: "stop word";
}

/** A chest seal over an open wound; ``vented`` lets air out. */
export interface SealChest {
  kind: "seal chest";
  side: "left" | "right";
  vented: boolean;
}

/** What a real session asks for before it starts. */
export interface SessionForm {
  scenario: string;
  manikin: string;
  seats: string[];
  agreement_version: string;
  agreement_text: string[];
  counts: CountRow[];
  ticks: TickRow[];
  /** true where the lab is not a one-person lab */
  needs_second_name: boolean;
  cautions: string[];
  /** people who have not met this case */
  unseen_by: string[];
}

export interface SetByHandView {
  finding: string;
  label: string;
  from_setting: string;
  to_setting: string;
}

export interface SetHold {
  do: "hold";
  what: string;
  value: number;
  display_only: boolean;
  /** the cause that is to move an outcome */
  by?: string;
  reason?: string;
}

/** Starts a problem of ``CauseChoices``, or changes one that is there, to a size in its own unit. */
export interface SetProblem {
  do: "set problem";
  cause: string;
  size: number;
  reason?: string;
}

/**
 * A ventilator, by an airway device or a mask, from now on at these settings.
 *
 * ``pressure_cmh2o`` is over the end-expiratory one.  A rate of 0 leaves all breaths to the patient.
 */
export interface SetVentilator {
  kind: "set ventilator";
  mode: "volume" | "pressure" | "CPAP" | "bilevel";
  rate_per_min: number;
  volume_ml: number;
  pressure_cmh2o: number;
  peep_cmh2o: number;
  o2_frac: number;
  leak_frac: number;
}

/** Only what changes is sent. */
export interface SettingsChange {
  lab_name?: string | null;
  pressure_unit?: "mmHg" | "kPa" | null;
  gas_tension_unit?: "mmHg" | "kPa" | null;
  glucose_unit?: "mg/dL" | "mmol/L" | null;
  temperature_unit?: "degC" | "degF" | null;
  weight_unit?: "kg" | "lb" | null;
  drug_words?: "epinephrine" | "adrenaline" | null;
  zone?: string | null;
  one_person_lab?: boolean | null;
  recovery_limit_s?: number | null;
  stop_word?: string | null;
  emergency_word?: string | null;
  rooms?: string[] | null;
}

/** The lab's own choices.  Units change what screens show, never what is stored. */
export interface SettingsView {
  lab_name: string;
  pressure_unit: "mmHg" | "kPa";
  gas_tension_unit: "mmHg" | "kPa";
  glucose_unit: "mg/dL" | "mmol/L";
  temperature_unit: "degC" | "degF";
  weight_unit: "kg" | "lb";
  drug_words: "epinephrine" | "adrenaline";
  zone: string;
  one_person_lab: boolean;
  recovery_limit_s: number;
  stop_word: string;
  emergency_word: string;
  agreement_version: string;
  rooms: string[];
}

export interface SheetAnswer {
  asked: string;
  who: string;
  said: string;
  /** while this holds, in words; empty for always */
  when: string;
}

export interface SheetCell {
  signal: string;
  text: string;
}

export interface SheetColumn {
  signal: string;
  label: string;
  unit: string;
}

/** Something that the crew is expected to do, to be ticked by hand; ``at_text`` where the log has it already. */
export interface SheetExpected {
  text: string;
  detail: string;
  at_text: string;
}

export interface SheetLine {
  title: string;
  text: string;
}

/** The patient at one minute if nothing is done. */
export interface SheetRow {
  t_s: number;
  cells: SheetCell[];
}

export interface Shock {
  kind: "shock";
  energy_j: number;
  synchronised: boolean;
}

export interface Snapshot {
  type: "snapshot";
  server_id: string;
  clock_s: number;
  run: RunHead | null;
  phases: PhaseView[];
  numbers: NumberView[];
  tracks: Track[];
  rings: Ring[];
  log: LogLine[];
  cues: CueView[];
  set_by_hand: SetByHandView[];
  supply: SupplyView[];
  problems: ProblemView[];
  holds: HoldView[];
  holdables: HoldableView[];
  answers: AnswerView[];
  /** what the case wants the operator to know now */
  notices: string[];
  look_ahead: LookAhead | null;
  monitor: MonitorView | null;
  training_mark: string;
}

/** False start: void this run and start the same case again. */
export interface StartAgain {
  do: "start again";
  reason?: string;
}

/**
 * A rehearsal needs ``scenario``, ``manikin`` and ``room``; a session needs the rest too.
 *
 * Two names are wanted for counts and ticks; ``one_name_reason`` says why one had to do.
 */
export interface StartAsked {
  purpose?: "rehearsal" | "session";
  scenario: string;
  manikin: string;
  room: string;
  crew?: CrewSeat[];
  counts?: CountIn[];
  ticks?: string[];
  signed_by?: string;
  second_name?: string;
  one_name_reason?: string;
  seed?: number | null;
}

/**
 * A fluid started through a line.  Rate 0 means as fast as the line lets it.
 *
 * ``temperature_degc``: what runs in; none means as it comes (room for clear fluid, half warmed for blood).
 */
export interface StartFluid {
  kind: "start fluid";
  fluid: "crystalloid" | "red cells" | "plasma" | "whole blood" | "albumin" | "concentrated albumin" | "colloid";
  volume_ml: number;
  rate_ml_per_min: number;
  line: string;
  temperature_degc: number | null;
}

/**
 * A drug that runs in at ``rate`` until it is changed or stopped; a new rate takes the place of the old one.
 *
 * For a rate by volume ``strength_per_ml`` is what runs: amount of drug (mg, units, mmol) in a millilitre.
 */
export interface StartInfusion {
  kind: "start infusion";
  drug: string;
  rate: number;
  rate_unit: "ug/min" | "ug/h" | "ug/kg/min" | "ug/kg/h" | "mg/min" | "mg/h" | "mg/kg/min" | "mg/kg/h" | "g/h" | "units/min" | "units/h" | "units/kg/min" | "units/kg/h" | "mmol/min" | "mmol/h" | "mmol/kg/h" | "mL/min" | "mL/h";
  strength_per_ml: number;
  route: "IV" | "IO";
  site: string;
  confirmed_unusual: boolean;
}

export interface Started {
  run_id: string;
  room: string;
  session_id: string | null;
  control_address: string;
  monitor_address: string;
}

export interface StopCompressions {
  kind: "stop compressions";
}

export interface StopFluid {
  kind: "stop fluid";
  fluid: "crystalloid" | "red cells" | "plasma" | "whole blood" | "albumin" | "concentrated albumin" | "colloid";
}

export interface StopInfusion {
  kind: "stop infusion";
  drug: string;
}

export interface StopOxygen {
  kind: "stop oxygen";
}

/** No more breaths or pressure, by bag or ventilator. */
export interface StopVentilating {
  kind: "stop ventilating";
}

/** The operator supplied a finding (told, card ...) or saw the crew obtain it. */
export interface SupplyFinding {
  do: "supply";
  finding: string;
  how: "on the manikin" | "room monitor" | "crew's own device" | "told" | "card" | "print" | "prop";
}

/** The answer to 'can they get it?'. */
export interface SupplyView {
  finding: string;
  label: string;
  way: "obtain" | "told" | "card" | "print" | "prop" | "room monitor" | "own device" | "cannot be supplied";
  detail: string;
}

/** A part of the primary survey done. */
export interface Survey {
  kind: "survey";
  part: "catastrophic bleeding" | "airway" | "breathing" | "circulation" | "mind" | "exposure";
}

export interface Threshold {
  signal: string;
  t_s: number;
  /** 'SpO2 below 80' - the client adds the time to go */
  text: string;
}

/** One safety tick.  ``tick`` is its text and its name. */
export interface TickRow {
  tick: string;
  why: string;
}

export interface TickSet {
  do: "set";
  finding: string;
  setting: string;
}

/** A signal over time: equally spaced from ``t0_s``; null where unknown. */
export interface Track {
  signal: string;
  t0_s: number;
  dt_s: number;
  values: (number | null)[];
}

export interface Undo {
  do: "undo";
  /** null takes back the newest entry that can be taken back */
  seq?: number | null;
  effect?: "record only" | "rebase";
}

/** Breaths given by bag through a mask or the airway device in place. */
export interface Ventilate {
  kind: "ventilate";
  rate_per_min: number;
  volume_ml: number;
  leak_frac: number;
}

/**
 * ``tracks`` are the changed run, ``baseline`` the unchanged run replayed today.
 *
 * ``departure_text`` says how far today's body departs from what was stored, empty when it is the same to the bit.
 */
export interface WhatIfAnswer {
  /** what was changed, in words */
  sentence: string;
  /** where the two runs part */
  from_s: number;
  tracks: Track[];
  baseline: Track[];
  outcome: string | null;
  baseline_outcome: string | null;
  /** gravest first */
  milestones: Milestone[];
  rule_changes: string[];
  departure_text: string;
  took_ms: number;
}

export interface WhatIfAsked {
  change: RemoveEvent | MoveEvent | AddEntry | ReplaceEvent;
}

export interface WriteNote {
  do: "note";
  text: string;
  seq?: number | null;
}

export type ServerMessage = Snapshot | Delta | LookAhead | Ack | Refused;
export type Command = CommandSent["command"];

/** A wave's code in a binary frame. */
export const WAVE_CODES = { ecg_ii: 1, pleth: 2, co2: 3, arterial: 4 } as const;
/** Samples a second of each wave. */
export const WAVE_RATE_PER_S = { ecg_ii: 250, pleth: 100, co2: 100, arterial: 100 } as const;
