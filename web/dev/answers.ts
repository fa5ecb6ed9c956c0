/** Canned answers of the fake server. Everything here is invented and lives in no build. */
import type {
  CloseForm, CueView, DebriefView, HoldableView, HomeView, ParseAnswer, ProblemView, Ring, RunSheet, SessionForm, SetByHandView, SettingsView, SupplyView, Track, WhatIfAnswer, WhatIfAsked,
} from '../src/lib/proto';
import { mindText, patientAt, SIGNALS, type Care } from './patient.ts';

const MARK = 'Training only. Not for the care of patients.';

export const cues = (): CueView[] => [
  { id: 'veins', key: 'F1', words: 'Neck veins are full.', why: 'asked 0:12 ago · manikin cannot show', how: 'told', finding: 'neck veins' },
  { id: 'trachea', key: 'F2', words: 'Windpipe is off to the right.', why: 'if they look · from the body since 5:10', how: 'told', finding: 'windpipe' },
  { id: 'card', key: 'F3', words: 'Lip photograph, card 3', why: 'when skin is asked again', how: 'card', finding: 'skin colour' },
];
export const setByHand = (): SetByHandView[] => [
  { finding: 'left breath sound', label: 'Left breath sound', from_setting: 'faint', to_setting: 'off' },
  { finding: 'radial pulse', label: 'Radial pulse', from_setting: 'weak', to_setting: 'gone' },
  { finding: 'breaths a minute', label: 'Breaths a minute', from_setting: '32', to_setting: '36' },
];
export const supply = (): SupplyView[] => [
  { finding: '12-lead', label: '12-lead', way: 'print', detail: 'print 4, laid out in the tray' },
  { finding: 'pressure', label: 'Pressure', way: 'obtain', detail: 'left arm only' },
  { finding: 'exhaled CO2', label: 'Exhaled CO2', way: 'told', detail: '24 mmHg' },
  { finding: 'pupils', label: 'Pupils', way: 'obtain', detail: '' },
  { finding: 'glucose', label: 'Blood sugar', way: 'told', detail: '118 mg/dL' },
  { finding: 'temperature', label: 'Temperature', way: 'own device', detail: '' },
  { finding: 'smell', label: 'Smell', way: 'cannot be supplied', detail: 'diesel, say so if asked' },
];
export const problems = (): ProblemView[] => [
  { name: 'thigh', kind: 'bleeding', text: 'Bleeding, left thigh', size_text: '180 mL/min', is_ended: false, size: 180, size_unit: 'mL/min', size_low: 0, size_high: 600 },
  { name: 'chest', kind: 'pneumothorax', text: 'Tension pneumothorax, left', size_text: '2.5 mL/s/cmH2O', is_ended: false, size: 2.5, size_unit: 'mL/s/cmH2O', size_low: 0, size_high: 10 },
];
export const holdables = (): HoldableView[] => [
  { what: 'heart_rate', label: 'Heart rate', unit: '/min', low: 20, high: 220, kind: 'effector', display_only: false, causes: [], start: 120, signal: 'heart_rate' },
  { what: 'respiratory_rate', label: 'Breathing rate', unit: '/min', low: 0, high: 60, kind: 'effector', display_only: false, causes: [], start: 30, signal: 'respiratory_rate' },
  { what: 'resistance', label: 'Resistance of the vessels, over resting', unit: '1', low: 0.3, high: 3, kind: 'effector', display_only: false, causes: [], start: 1, signal: null },
  { what: 'spo2_pct', label: 'SpO2', unit: '%', low: 0, high: 100, kind: 'display', display_only: true, causes: [], start: 50, signal: 'spo2_pct' },
  { what: 'etco2_mmhg', label: 'Exhaled CO2', unit: 'mmHg', low: 0, high: 120, kind: 'display', display_only: true, causes: [], start: 60, signal: 'etco2_mmhg' },
];
export const spoken = () => [
  { asked: 'What happened?', who: 'patient', said: 'It went over… can’t breathe… my leg.' },
  { asked: 'Any allergies?', who: 'patient', said: 'None. Just get it off me.' },
  { asked: 'How long ago?', who: 'neighbour', said: 'Ten minutes, maybe. I heard the engine stop.' },
];
export const pastLog = (): [number, string, string][] => [
  [118, 'Tourniquet, left thigh', 'tourniquet'],
  [151, 'Oxygen 15 L/min by reservoir mask', 'oxygen'],
  [185, 'Asked: skin. Told “pale, cold, wet”', ''],
  [220, 'Finger probe on the right hand', ''],
  [252, 'IV line 18 G, right arm, patent', ''],
  [295, 'Cuff 84/60, mean 68', ''],
  [320, 'Crystalloid 250 mL started, right arm', 'fluid'],
  [348, 'Listened to the left chest: silent', ''],
];
export const pastRings = (): Ring[] => [
  { t_s: 228, signal: 'spo2_pct', value: 92, text: '92', how: 'room monitor' },
  { t_s: 295, signal: 'systolic_pressure_mmhg', value: 84, text: '84/60', how: 'room monitor' },
  { t_s: 300, signal: 'heart_rate_per_min', value: 128, text: '128', how: 'on the manikin' },
  { t_s: 318, signal: 'etco2_mmhg', value: 26, text: '26', how: 'told' },
  { t_s: 330, signal: 'gcs_total', value: 14, text: 'E4 V4 M6', how: 'on the manikin' },
];

export interface Read {
  answer: ParseAnswer;
  care: Care['what'] | null;
  cut: string;
  sensor: string | null;
  late: number | null;
}

export function parse(typed: string, now_s: number): Read {
  const blank: ParseAnswer = { is_complete: false, echo: '', emphasis: [], ghost: '', predicted: '', warning: '', needs_confirmation: false, not_modelled: false, question: '', completions: [] };
  const read: Read = { answer: blank, care: null, cut: '', sensor: null, late: null };
  const late = /^@(\d+):(\d\d)\s*/.exec(typed);
  let text = typed;
  if (late) {
    read.late = Number(late[1]) * 60 + Number(late[2]);
    text = typed.slice(late[0].length);
    if (read.late > now_s) return { ...read, answer: { ...blank, warning: `${late[1]}:${late[2]} has not come yet; the run is at ${Math.floor(now_s / 60)}:${String(Math.floor(now_s % 60)).padStart(2, '0')}.` } };
  }
  const say = (answer: Partial<ParseAnswer>, more: Partial<Read> = {}): Read => ({ ...read, ...more, answer: { ...blank, is_complete: true, ...answer, echo: (late ? `At ${late[1]}:${late[2]}, entered late: ` : '') + (answer.echo ?? '') } });
  const words = text.toLowerCase().trim();
  if (words === '') return { ...read, answer: { ...blank, question: late ? 'What was done then?' : '' } };
  if (/^(epi|epinephrine)\b/.test(words)) {
    const dose = /(\d+(?:\.\d+)?)/.exec(words);
    if (!dose) return { ...read, answer: { ...blank, question: 'How much epinephrine, and by which route? Usual here: 0.3 mg IM.', ghost: words === 'epi' ? ' 0.3 im' : '', completions: [{ insert: 'epi 0.3 im', label: 'epinephrine 0.3 mg IM, thigh' }, { insert: 'epi 1 iv', label: 'epinephrine 1 mg IV (arrest)' }] } };
    const mg = Number(dose[1]);
    const im = /im/.test(words);
    if (!im && !/iv|io/.test(words)) return { ...read, answer: { ...blank, question: 'By which route: IM, IV or IO?', ghost: words.endsWith(' ') ? 'im' : ' im', completions: [{ insert: `${words} im`, label: 'in the thigh muscle' }, { insert: `${words} iv`, label: 'through the line, right arm' }] } };
    const unusual = im && mg > 0.5;
    return say({ echo: `Epinephrine ${mg} mg ${im ? 'IM, thigh' : 'IV, right arm'}`, emphasis: [`${mg} mg`, im ? 'IM' : 'IV'], predicted: 'pressure 92 in 3 min, heart rate 150', needs_confirmation: unusual, warning: unusual ? `${mg} mg IM is far from the usual 0.3 to 0.5 mg.` : '' }, { cut: 'epinephrine' });
  }
  if (/^(needle|decomp)/.test(words)) {
    const side = /\b(l|left)\b/.test(words) ? 'left' : /\b(r|right)\b/.test(words) ? 'right' : '';
    if (!side) return { ...read, answer: { ...blank, question: 'Which side, left or right?', ghost: words === 'needle' ? ' l 5th' : '', completions: [{ insert: 'needle l', label: 'decompress the left chest' }, { insert: 'needle r', label: 'decompress the right chest' }] } };
    return say({ echo: `Decompress the ${side} chest, 5th space, anterior axillary line, 14 G`, emphasis: [side], ghost: /^needle [lr]$/.test(words) ? ' 5th aal 14g' : '', predicted: side === 'left' ? 'pressure 96 in 40 s, SpO2 90 in 60 s' : '' }, { care: side === 'left' ? 'needle' : null, cut: 'needle' });
  }
  if (/^(tq|tourniquet)/.test(words)) return say({ echo: 'Tourniquet, left thigh', emphasis: ['left'], predicted: 'bleeding stops' }, { care: 'tourniquet', cut: 'tourniquet' });
  if (/^(o2|oxygen)/.test(words)) return say({ echo: 'Oxygen 15 L/min by reservoir mask', emphasis: ['15 L/min'], predicted: 'SpO2 88 in 60 s' }, { care: 'oxygen', cut: 'oxygen' });
  if (/^cuff$/.test(words)) return say({ echo: 'Measure the pressure now, left arm' }, {});
  if (/^(co2|line)/.test(words)) return say({ echo: 'CO2 sampling line attached' }, { sensor: 'CO2 sampling line' });
  if (/^txa/.test(words)) return say({ echo: 'Tranexamic acid 1 g IV over 10 min, right arm', emphasis: ['1 g', 'IV'], predicted: '' }, { care: 'txa', cut: 'TXA' });
  const all = [{ insert: 'needle l', label: 'decompress the left chest' }, { insert: 'tourniquet l thigh', label: 'tourniquet, left thigh' }, { insert: 'epi 0.3 im', label: 'epinephrine 0.3 mg IM' }, { insert: 'txa 1 g iv', label: 'tranexamic acid 1 g IV' }, { insert: 'co2 line', label: 'attach the sampling line' }];
  const completions = all.filter((each) => each.insert.startsWith(words));
  if (completions.length > 0) return { ...read, answer: { ...blank, ghost: completions[0]!.insert.slice(words.length), completions, question: '' } };
  return say({ echo: `Other: “${text.trim()}”`, not_modelled: true });
}

const CASES: HomeView['cases'] = [
  {
    name: 'c8-tractor', title: 'Tractor roll-over', version: 2, status: 'draft', setting: 'street', level: 'experienced', crew_size: 3, time_cap_s: 1080,
    dispatch: 'Tractor on its side at Low Meadow Farm, one man under the wheel, awake, bleeding from the leg.', story: 'Found by his neighbour; freed before the crew arrives.', patient_text: 'Man of 38, 88 kg, 182 cm',
    objectives: ['Stops catastrophic bleeding first', 'Decompresses the right side', 'Leaves the scene within 10 min'],
    fits: [{ manikin: 'adult-b', can_run: true, n_supplied_by_hand: 9, n_cannot: 1, text: 'Told or handed over: skin, neck veins, windpipe and 6 more. Cannot be supplied: smell of diesel.' }],
    n_runs: 4, met_by: ['Ada Quill', 'Ben Torrow'], faults: [],
  },
  {
    name: 'c5-carpark', title: 'Car park, slow breathing', version: 1, status: 'draft', setting: 'street', level: 'intermediate', crew_size: 2, time_cap_s: 720,
    dispatch: 'Man slumped in a parked car behind the mill, breathing very slowly.', story: '', patient_text: 'Man of 29, 78 kg, 178 cm', objectives: ['Ventilates before anything else', 'Titrates naloxone'],
    fits: [{ manikin: 'adult-b', can_run: true, n_supplied_by_hand: 5, n_cannot: 0, text: 'Told or handed over: colour, needle mark, patch and 2 more.' }], n_runs: 1, met_by: ['Ada Quill'], faults: [],
  },
];
let settings: SettingsView = { lab_name: 'Orrin Ferry training lab', pressure_unit: 'mmHg', gas_tension_unit: 'mmHg', glucose_unit: 'mg/dL', temperature_unit: 'degC', weight_unit: 'kg', drug_words: 'epinephrine', zone: 'Europe/London', one_person_lab: true, recovery_limit_s: 120, stop_word: 'Stop, stop, stop', emergency_word: 'Real emergency', agreement_version: '1', rooms: ['bay-1', 'bay-2'] };

function home(isEmpty: boolean): HomeView {
  return {
    lab_name: settings.lab_name, is_empty: isEmpty, is_demo: true, one_person_lab: true, body: 'ready', cases: CASES.map((each) => (isEmpty ? { ...each, n_runs: 0, met_by: [] } : each)),
    manikins: [{ name: 'adult-b', title: 'Adult manikin B', about: 'Full-size adult; breath sounds, pulses and chest rise set from its own remote', faults_today: ['left pupil sticks'], cautions: ['Live shocks only on the two chest posts, at most 20 a day', 'Needle only into the insert'] }],
    rooms: [
      { room: 'bay-1', run_id: isEmpty ? null : 'r-0031', title: isEmpty ? '' : 'Tractor roll-over', is_running: !isEmpty, clock_s: 372, control_address: '/control/bay-1', monitor_address: '/monitor/bay-1' },
      { room: 'bay-2', run_id: null, title: '', is_running: false, clock_s: 0, control_address: '/control/bay-2', monitor_address: '/monitor/bay-2' },
    ],
    runs: isEmpty ? [] : [
      { run_id: 'r-0031', room: 'bay-1', title: 'Tractor roll-over', scenario: 'c8-tractor', manikin: 'adult-b', purpose: 'rehearsal', state: 'open', started_wall: '25 Nov 2026, 13:02', crew_text: '', outcome: null, session_id: null, is_closed: true, address: '/control/bay-1' },
      { run_id: 'r-0030', room: 'bay-1', title: 'Car park, slow breathing', scenario: 'c5-carpark', manikin: 'adult-b', purpose: 'session', state: 'ended', started_wall: '25 Nov 2026, 10:31', crew_text: 'Ada Quill, Ben Torrow', outcome: 'alive', session_id: 's-0012', is_closed: false, address: '/debrief/r-0030' },
      { run_id: 'r-0029', room: 'bay-1', title: 'Tractor roll-over', scenario: 'c8-tractor', manikin: 'adult-b', purpose: 'rehearsal', state: 'void', started_wall: '24 Nov 2026, 16:10', crew_text: '', outcome: null, session_id: null, is_closed: true, address: '/debrief/r-0029' },
    ],
    people: [
      { person_id: 'p1', name: 'Ada Quill', role: 'learner', met: ['c8-tractor', 'c5-carpark'] },
      { person_id: 'p2', name: 'Ben Torrow', role: 'learner', met: ['c8-tractor'] },
      { person_id: 'p3', name: 'Cleo Marsh', role: 'learner', met: [] },
    ],
    exposures: [
      { person_id: 'p1', person: 'Ada Quill', scenario: 'c8-tractor', case_title: 'Tractor roll-over', seat: 'lead', met_wall: '12 Nov 2026', run_id: 'r-0021' },
      { person_id: 'p1', person: 'Ada Quill', scenario: 'c5-carpark', case_title: 'Car park, slow breathing', seat: 'lead', met_wall: '25 Nov 2026', run_id: 'r-0030' },
      { person_id: 'p2', person: 'Ben Torrow', scenario: 'c8-tractor', case_title: 'Tractor roll-over', seat: 'second', met_wall: '12 Nov 2026', run_id: 'r-0021' },
    ],
    faults: isEmpty ? [] : [
      { code: 'unknown drug', sentence: "scenarios/c3-home-oxygen.yaml, line 42, problems[1].drug: there is no drug 'salbutemol'; did you mean 'salbutamol'?", file: 'scenarios/c3-home-oxygen.yaml', line: 42, field: 'problems[1].drug', near: ['salbutamol'], is_warning: false },
      { code: 'unit missing', sentence: "manikins/child-a.yaml, line 7, mass: '18' has no unit, and it could be read in more than one; write for instance '10 kg'.", file: 'manikins/child-a.yaml', line: 7, field: 'mass', near: [], is_warning: true },
    ],
    notice: '',
  };
}

const form: SessionForm = {
  scenario: 'c8-tractor', manikin: 'adult-b', seats: ['lead', 'second', 'third'], agreement_version: '1',
  agreement_text: ['What happens here stays here.', 'We treat the manikin and each other with care.', 'Everyone here is able and means to do well.', 'The stop word stops everything at once.'],
  counts: [
    { item: 'epinephrine 1 mg/mL, training', kind: 'training drug', expected: 4, label: 'Not for human use' },
    { item: 'tranexamic acid 100 mg/mL, training', kind: 'training drug', expected: 2, label: 'Not for human use' },
    { item: 'crystalloid 250 mL, training', kind: 'training fluid', expected: 2, label: 'Not for human use' },
    { item: 'needle 14 G', kind: 'sharp', expected: 2, label: '' },
  ],
  ticks: [
    { tick: 'Oxygen: air or an empty cylinder in use', why: 'fire, and most manikins forbid flowing oxygen' },
    { tick: 'Chest and floor dry, pads on the two chest posts only', why: 'live shocks' },
    { tick: 'Sharps bin within reach of the manikin', why: '' },
  ],
  needs_second_name: false, cautions: ['Needle only into the insert of this manikin.'], unseen_by: ['Cleo Marsh'],
};

const CARE: Care[] = [{ t_s: 118, what: 'tourniquet' }, { t_s: 151, what: 'oxygen' }, { t_s: 320, what: 'fluid' }, { t_s: 430, what: 'needle' }];
const END = 780;
function tracks(care: Care[], from = 0): Track[] {
  const out = SIGNALS.map((signal) => ({ signal: signal as string, t0_s: from, dt_s: 1, values: [] as (number | null)[] }));
  for (let t = from; t <= END; t++) SIGNALS.forEach((signal, i) => out[i]!.values.push(patientAt(t, care)[signal]));
  return out;
}

function debrief(): DebriefView {
  const log = [...pastLog(), [430, 'Decompress the left chest, 5th space, anterior axillary line, 14 G', 'needle'] as [number, string, string], [610, 'Report started', ''] as [number, string, string]].map(([t_s, text, cut], i) => ({
    seq: i + 1, t_s, kind: 'care given', text, by: '', is_undone: false, is_late: i === 3, is_cut: cut !== '', cut_label: cut, can_undo: false, action: cut === '' ? null : ({ kind: 'other', text } as const), typed: text, note: '',
  }));
  const shown = tracks(CARE).filter((track) => track.signal === 'spo2_pct').map((track) => ({ ...track, values: track.values.map((_, t) => (t < 220 ? null : patientAt(t - 20, CARE).spo2_pct)) }));
  const m = (id: number, name: string, definition: string, target: string, verdict: DebriefView['measures'][number]['verdict'], text: string, uncertainty: string, more: Partial<DebriefView['measures'][number]> = {}) => ({
    id, name, definition, source: 'common practice, no source', source_kind: 'L' as const, target, verdict, value: 1, unit: 's', text, uncertainty, is_censored: text.startsWith('>'), about: 'crew' as const, seqs: [], t_s: null, note: '', ...more,
  });
  return {
    run_id: 'r-0030', title: 'Tractor roll-over', scenario: 'c8-tractor', manikin: 'adult-b', crew_text: 'Ada Quill, Ben Torrow, Cleo Marsh', purpose: 'session', state: 'ended', started_wall: '25 Nov 2026, 10:31', end_s: END, outcome: 'alive', ended_because: 'operator ended the run',
    phases: [{ phase: 'dispatch', from_s: 0, to_s: 18 }, { phase: 'en route', from_s: 18, to_s: 62 }, { phase: 'on scene', from_s: 62, to_s: 88 }, { phase: 'at patient', from_s: 88, to_s: 590 }, { phase: 'leaving scene', from_s: 590, to_s: 605 }, { phase: 'report', from_s: 605, to_s: 700 }, { phase: 'handover', from_s: 700, to_s: END }],
    rows: [
      { signal: 'heart_rate_per_min', label: 'Heart rate', system: 'heart', unit: '/min', factor: 1, offset: 0, low: 0, high: 300, decimals: 0 },
      { signal: 'systolic_pressure_mmhg', label: 'Pressure', system: 'pressure', unit: 'mmHg', factor: 1, offset: 0, low: 0, high: 400, decimals: 0 },
      { signal: 'spo2_pct', label: 'SpO2', system: 'oxygen', unit: '%', factor: 1, offset: 0, low: 0, high: 100, decimals: 0 },
      { signal: 'etco2_mmhg', label: 'Exhaled CO2', system: 'breath', unit: 'mmHg', factor: 1, offset: 0, low: 0, high: 250, decimals: 0 },
      { signal: 'respiratory_rate_per_min', label: 'Breathing rate', system: 'breath', unit: '/min', factor: 1, offset: 0, low: 0, high: 150, decimals: 0 },
      { signal: 'gcs_total', label: 'Mind', system: 'mind', unit: '1', factor: 1, offset: 0, low: 3, high: 15, decimals: 0 },
    ],
    true_tracks: tracks(CARE), shown_tracks: shown, rings: pastRings(), log, holds: [{ what: 'spo2_pct', label: 'SpO2', row: 'spo2_pct', from_s: 500, to_s: 540, display_only: true, reason: 'probe slipped' }], jumps: [], problems: [], rhythm: [{ from_s: 0, text: 'sinus' }],
    measures: [
      m(1, 'Time to first look at the patient', 'first assessment minus at patient', '30 s or less', 'met', '0:22', '± 2 s', { t_s: 110 }),
      m(3, 'First full vital set', 'heart rate, pressure, breathing rate, SpO2 and mind all obtained, minus at patient', '5 min or less', 'met', '4:02', '± 2 s', { t_s: 330 }),
      m(59, 'Tourniquet on', 'tourniquet minus at patient', '60 s or less', 'met', '0:30', '± 2 s', { t_s: 118, seqs: [1] }),
      m(60, 'Chest decompressed', 'decompression minus first sign of tension that the crew obtained', '2 min or less', 'not met', '2:22', '± 5 s', { t_s: 430, seqs: [9] }),
      m(61, 'Scene time', 'leaving scene minus on scene', '10 min or less', 'met', '8:48', '± 2 s', { t_s: 590 }),
      m(6, 'Reassess after treatment', 'next relevant measurement after a drug or procedure', '5 min or less', 'cannot say', '> 5:50', '', { t_s: 430 }),
      m(12, 'Low oxygen, burden', 'sum of (90 − SpO2) over time below 90', 'none', 'not met', '21 %·min', '± 1', { about: 'patient, not crew' }),
      m(13, 'Low pressure, burden', 'time with a systolic pressure below 90 mmHg', 'as short as can be', 'no target', '6:10', '± 1 s', { about: 'patient, not crew' }),
      m(10, 'Allergy asked before a drug', 'asked before the first drug', 'yes', 'not applicable', 'no drug given', ''),
      m(18, 'Report length', 'end minus start of the report', '60 s or less', 'cannot say', 'end not logged', ''),
    ],
    notes: [{ note_id: 'n1', author: 'debriefer', written_wall: '10:52', text: 'Ada named the silent side out loud: ask her what she heard.', t_s: 348, about_seq: 8 }],
    opening: ['How did that feel?', 'Tell us the case from the call to the handover, in your own words.', 'What were you most worried about, and when?'],
    points: ['The tourniquet went on 30 s after reaching the patient.', 'Between the silent chest (5:48) and the needle (7:10) lay 82 s.', 'Who was leading after 6:00?'],
    can_what_if: true, what_if_text: '', training_mark: MARK,
  };
}

function whatIf(asked: WhatIfAsked): WhatIfAnswer {
  const change = asked.change;
  let care = [...CARE];
  const at = 'seq' in change ? [...pastLog(), [430, '', 'needle']][change.seq - 1]![0] : change.t_s;
  if (change.do === 'remove') care = care.filter((each) => each.t_s !== at);
  if (change.do === 'move') care = care.map((each) => (each.t_s === at ? { ...each, t_s: change.t_s } : each)).sort((a, b) => a.t_s - b.t_s);
  const from = Number(change.do === 'move' ? Math.min(Number(at), change.t_s) : at);
  return { sentence: change.do === 'remove' ? 'Without that entry' : change.do === 'move' ? `That entry at ${Math.floor(change.t_s / 60)}:${String(Math.round(change.t_s) % 60).padStart(2, '0')}` : 'With one more entry', from_s: from, tracks: tracks(care), baseline: tracks(CARE), outcome: change.do === 'remove' ? 'arrested' : 'alive', baseline_outcome: 'alive', milestones: change.do === 'remove' ? [{ text: 'arrest', in_run_s: null, what_if_s: 610, said: 'comes at 10:10; not in the run' }] : [], rule_changes: [], departure_text: '', took_ms: 184 };
}

export function runSheet(now_s: number, care: readonly Care[]): RunSheet {
  return {
    run_id: 'r-0031', title: 'Tractor roll-over', made_wall: '25 Nov 2026, 13:08', manikin: 'adult manikin B', crew_text: 'crew of 3', purpose: 'rehearsal', time_cap_s: 1080, dispatch: CASES[0]!.dispatch, patient_text: 'Man of 38, 88 kg, 182 cm. Left thigh bleeding, left chest silent.',
    history: [{ title: 'Allergies', text: 'none known' }, { title: 'Medication', text: 'none' }, { title: 'Last meal', text: 'breakfast, 7:00' }, { title: 'Events', text: 'turning on a slope' }],
    phases: ['dispatch', 'en route', 'on scene', 'at patient', 'leaving scene', 'report', 'handover', 'end'].map((title) => ({ title, text: '' })),
    objectives: [{ text: 'Stops the bleeding of the thigh before anything else', detail: 'bleeding stopped at most 1:00', at_text: '' }], expected: [{ text: 'Control bleeding tourniquet, left thigh', detail: '', at_text: '0:40' }, { text: 'Decompress chest left', detail: '', at_text: '' }], timed: [{ title: 'First look', text: 'at most 1:00' }],
    from_s: now_s, course_note: 'If nothing more is done. A tourniquet stops the bleeding; needle on the left: SpO2 +14, pressure +12 in 30 s.',
    columns: [{ signal: 'hr', label: 'heart rate', unit: '/min' }, { signal: 'bp', label: 'pressure', unit: 'mmHg' }, { signal: 'spo2', label: 'SpO2', unit: '%' }, { signal: 'co2', label: 'exhaled CO2', unit: 'mmHg' }, { signal: 'rr', label: 'breaths', unit: '/min' }, { signal: 'gcs', label: 'mind', unit: '1' }],
    course: Array.from({ length: 12 }, (_, i) => {
      const at = patientAt(now_s + i * 60, care);
      return { t_s: now_s + i * 60, cells: [{ signal: 'hr', text: at.heart_rate_per_min.toFixed(0) }, { signal: 'bp', text: `${at.systolic_pressure_mmhg.toFixed(0)}/${at.diastolic_pressure_mmhg.toFixed(0)}` }, { signal: 'spo2', text: at.spo2_pct.toFixed(0) }, { signal: 'co2', text: at.etco2_mmhg.toFixed(0) }, { signal: 'rr', text: at.respiratory_rate_per_min.toFixed(0) }, { signal: 'gcs', text: mindText(at.gcs_total) }] };
    }),
    problems: problems().map((each) => ({ title: each.text, text: each.size_text })), cues: cues().map((each) => ({ title: each.words, text: each.why })), handouts: [{ title: 'Card 3', text: 'lip photograph' }], answers: spoken().map((each) => ({ ...each, when: '' })), do_not_say: ['“Check the chest.”'],
    drug_box: [{ title: 'epinephrine 1 mg/mL', text: '4 ampoules' }], hazards: [{ title: 'Needle', text: 'only into the insert' }], log: [], stop_word: 'Stop, stop, stop', emergency_word: 'Real emergency', training_mark: MARK,
  };
}

const closing: CloseForm = { session_id: 's-0012', title: 'Car park, slow breathing', is_closed: false, text: 'Count out what is left. The run used what the log says.', counts: [{ item: 'naloxone 0.4 mg/mL, training', kind: 'training drug', counted_in: 3, used: 1, expected_out: 2, counted_out: null }, { item: 'needle 21 G', kind: 'sharp', counted_in: 4, used: 1, expected_out: 3, counted_out: null }] };

let isEmpty = process.env['FAKE_EMPTY'] === '1';

export function json(method: string, url: URL, asked: unknown): { body: unknown; status: number } | null {
  const ok = (body: unknown, status = 200) => ({ body, status });
  const path = url.pathname;
  if (path === '/api/health') return ok({ version: '0', server_id: 'fake', body: 'ready', body_text: '', lab_name: settings.lab_name, training_mark: MARK });
  if (path === '/api/home') return ok(home(isEmpty || url.searchParams.has('empty')));
  if (path === '/api/settings') {
    if (method === 'PUT') settings = { ...settings, ...(asked as Partial<SettingsView>) };
    return ok(settings);
  }
  if (path === '/api/session-form') return ok({ ...form, scenario: url.searchParams.get('scenario') });
  if (path === '/api/runs' && method === 'POST') {
    isEmpty = false;
    const start = asked as { room: string };
    return ok({ run_id: 'r-0032', room: start.room, session_id: null, control_address: `/control/${start.room}`, monitor_address: `/monitor/${start.room}` });
  }
  if (path === '/api/people') return ok({ person_id: `p${Math.random()}`, name: (asked as { name: string }).name, role: 'learner', met: [] });
  if (/^\/api\/sessions\/.*\/close$/.test(path)) return ok(method === 'POST' ? { ...closing, is_closed: true, text: 'Closed: every count agrees.' } : closing);
  if (path.endsWith('/debrief')) return ok(debrief());
  if (path.endsWith('/what-if')) return ok(whatIf(asked as WhatIfAsked));
  if (path.endsWith('/notes')) {
    const note = asked as { text: string; t_s?: number | null };
    return ok({ note_id: String(Math.random()), author: 'debriefer', written_wall: 'now', text: note.text, t_s: note.t_s ?? null, about_seq: null });
  }
  return null;
}
