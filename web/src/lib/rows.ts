/** Rows of the river from what the server sends: which tracks belong to which row. */
import type { AxisView, HeldSpan, NumberView, Ring, Threshold, Track } from './proto';
import { valueAt } from './river';
import { mss } from './time';

export interface RiverRow {
  signal: string;
  label: string;
  system: string;
  /** The big number, and what stands small beside it. */
  text: string;
  unit: string;
  sub: string;
  /** What the crew sees at this moment: null where the row has no such thing, "" where no sensor is on. */
  seen: string | null;
  isHeld: boolean;
  low: number;
  high: number;
  line: Track | null;
  /** The edges of a band around the line: systolic and diastolic. */
  band: [Track, Track] | null;
  /** What the monitor showed over time, where it is drawn. */
  shown: Track | null;
  future: Track | null;
  futureBand: [Track, Track] | null;
  /** The second current: of a what-if, or of a cause that was found. */
  second: Track | null;
  rings: Ring[];
  thresholds: Threshold[];
  ringText: (ring: Ring) => string;
}

export interface TrackSet {
  get: (signal: string) => Track | null;
}

export function trackSet(tracks: readonly Track[]): TrackSet {
  const by = new Map(tracks.map((track) => [track.signal, track]));
  return { get: (signal) => by.get(signal) ?? null };
}

const SYSTOLIC = 'systolic_pressure_mmhg';
const DIASTOLIC = 'diastolic_pressure_mmhg';
const PRESSURES = new Set([SYSTOLIC, DIASTOLIC, 'mean_arterial_pressure_mmhg']);
const MINDS = new Set(['gcs_total', 'gcs_eye', 'gcs_verbal', 'gcs_motor']);
const HEARTS = new Set(['heart_rate_per_min', 'pulse_rate_per_min']);
const OXYGENS = new Set(['spo2_pct', 'sao2_pct']);
const FAMILIES = [PRESSURES, MINDS, HEARTS, OXYGENS];

/** Whether a ring or threshold of one signal belongs in the row of another. */
export function isAtHome(signal: string, row: string): boolean {
  return signal === row || FAMILIES.some((family) => family.has(signal) && family.has(row));
}

/** The signal whose line a row draws. Rows may be named for a part of it. */
export function lineSignal(signal: string): string {
  return MINDS.has(signal) ? 'gcs_total' : signal;
}

export function bandOf(signal: string, tracks: TrackSet): [Track, Track] | null {
  if (!PRESSURES.has(signal)) return null;
  const upper = tracks.get(SYSTOLIC);
  const lower = tracks.get(DIASTOLIC);
  return upper && lower ? [upper, lower] : null;
}

/** Rows that the room monitor can show; of the others there is nothing to say about what the crew sees. */
const ON_MONITOR = new Set([
  'heart_rate_per_min',
  SYSTOLIC,
  'spo2_pct',
  'etco2_mmhg',
  'respiratory_rate_per_min',
  'temperature_core_degc',
]);

/** The rows that every case has; what a case needs beside them is drawn lower. */
const MAIN = new Set(['heart_rate_per_min', SYSTOLIC, 'spo2_pct', 'etco2_mmhg', 'respiratory_rate_per_min', 'gcs_total']);
const EXTRA_HEIGHT = 0.75;

/** Share of the height that a row gets. */
export const heightShare = (signal: string): number => (MAIN.has(signal) ? 1 : EXTRA_HEIGHT);

const HAND_WORDS: Partial<Record<Ring['how'], string>> = { told: 'told', card: 'card', print: 'print', prop: 'prop' };

/** A ring's label is the value alone, without what follows a comma; it says so when the value was given, not obtained. */
export function ringText(ring: Ring): string {
  const word = HAND_WORDS[ring.how];
  const text = ring.text.split(',')[0]!;
  return word && !text.startsWith(word) ? `${word} ${text}` : text;
}

export function liveRows(
  numbers: readonly NumberView[],
  tracks: readonly Track[],
  future: readonly Track[],
  rings: readonly Ring[],
  thresholds: readonly Threshold[],
  found: readonly Track[] = [],
): RiverRow[] {
  const past = trackSet(tracks);
  const ahead = trackSet(future);
  const second = trackSet(found);
  return numbers.map((number) => {
    const signal = lineSignal(number.signal);
    return {
      signal,
      label: number.label,
      system: number.system,
      text: number.text,
      unit: number.unit === '1' ? '' : number.unit,
      sub: number.sub_text,
      seen: ON_MONITOR.has(signal) ? (number.shown_text ?? '') : null,
      isHeld: number.is_held,
      low: number.low,
      high: number.high,
      line: past.get(signal),
      band: bandOf(signal, past),
      shown: null,
      future: ahead.get(signal),
      futureBand: bandOf(signal, ahead),
      second: second.get(signal),
      rings: rings.filter((ring) => isAtHome(ring.signal, signal)),
      thresholds: thresholds.filter((threshold) => isAtHome(threshold.signal, signal)),
      ringText,
    };
  });
}

/** Thresholds that no row of the river is home to. */
export function homeless(thresholds: readonly Threshold[], rows: readonly RiverRow[]): Threshold[] {
  return thresholds.filter((threshold) => !rows.some((row) => isAtHome(threshold.signal, row.signal)));
}

/** Axes that get a row: diastolic and mean pressure are drawn in that of the systolic, and what was not stored in none. */
export function ownRows(axes: readonly AxisView[], tracks: readonly Track[]): AxisView[] {
  return axes.filter(
    (axis, i) =>
      tracks.some((track) => track.signal === lineSignal(axis.signal)) &&
      !axes.slice(0, i).some((other) => isAtHome(axis.signal, other.signal)),
  );
}

const NOTHING: Track = { signal: '', t0_s: 0, dt_s: 1, values: [] };

/** Rows of the debrief at a cursor: the same picture, with the numbers of that moment. */
export function debriefRows(at: {
  axes: readonly AxisView[];
  tracks: readonly Track[];
  shown: readonly Track[];
  second: readonly Track[] | null;
  rings: readonly Ring[];
  holds: readonly HeldSpan[];
  cursor_s: number;
}): RiverRow[] {
  const truth = trackSet(at.tracks);
  const shown = trackSet(at.shown);
  const second = at.second ? trackSet(at.second) : null;
  return ownRows(at.axes, at.tracks).map((axis) => {
    const signal = lineSignal(axis.signal);
    const line = truth.get(signal);
    const text = (track: Track | null): string => {
      const value = track && valueAt(track, at.cursor_s);
      return value === null || value === undefined ? '–' : (value * axis.factor + axis.offset).toFixed(axis.decimals);
    };
    const rings = at.rings.filter((ring) => isAtHome(ring.signal, signal));
    const last = rings.filter((ring) => ring.t_s <= at.cursor_s).sort((a, b) => b.t_s - a.t_s)[0];
    const pressures = PRESSURES.has(signal);
    return {
      signal,
      label: axis.label,
      system: axis.system,
      text: pressures ? `${text(line)}/${text(truth.get(DIASTOLIC))}` : text(line),
      unit: signal === 'gcs_total' ? 'GCS' : axis.unit === '1' ? '' : axis.unit,
      sub: second && valueAt(second.get(signal) ?? NOTHING, at.cursor_s) !== null ? `what if ${text(second.get(signal))}` : '',
      seen: last ? `${ringText(last)}, ${mss(last.t_s)}` : '',
      isHeld: at.holds.some((hold) => hold.row === signal && hold.from_s <= at.cursor_s && at.cursor_s <= hold.to_s),
      low: axis.low,
      high: axis.high,
      line,
      band: bandOf(signal, truth),
      shown: shown.get(signal),
      future: null,
      futureBand: null,
      second: second?.get(signal) ?? null,
      rings,
      thresholds: [],
      ringText,
    };
  });
}

/** Tracks of a what-if from the moment at which it parts from the run: before it the two are one. */
export function fromMoment(tracks: readonly Track[], from_s: number): Track[] {
  return tracks.map((track) => {
    const first = Math.max(0, Math.floor((from_s - track.t0_s) / track.dt_s));
    return { ...track, t0_s: track.t0_s + first * track.dt_s, values: track.values.slice(first) };
  });
}
