/**
 * Geometry of the river of time: time flows left to right, each row is one thing about the patient.
 * Pure functions of numbers; the components only draw what these return.
 */
import type { Track } from './proto';

export interface TimeScale {
  from_s: number;
  to_s: number;
  x: (t_s: number) => number;
  t: (x: number) => number;
}

/** Past and future have a scale each and meet at now. */
export function liveScale(at: {
  now_s: number;
  past_s: number;
  future_s: number;
  left: number;
  now_x: number;
  right: number;
}): TimeScale {
  const past = (at.now_x - at.left) / at.past_s;
  const future = (at.right - at.now_x) / at.future_s;
  return {
    from_s: at.now_s - at.past_s,
    to_s: at.now_s + at.future_s,
    x: (t_s) => at.now_x + (t_s - at.now_s) * (t_s <= at.now_s ? past : future),
    t: (x) => at.now_s + (x - at.now_x) / (x <= at.now_x ? past : future),
  };
}

/** One scale over a whole stretch, as in the debrief. */
export function spanScale(at: { from_s: number; to_s: number; left: number; right: number }): TimeScale {
  const per_s = (at.right - at.left) / Math.max(1e-9, at.to_s - at.from_s);
  return {
    from_s: at.from_s,
    to_s: at.to_s,
    x: (t_s) => at.left + (t_s - at.from_s) * per_s,
    t: (x) => at.from_s + (x - at.left) / per_s,
  };
}

export interface Range {
  low: number;
  high: number;
}

/** How narrow a row may become, and the steps in which its range moves, by the unit at the end of the name. */
const SPANS: Record<string, { span: number; step: number }> = {
  heart_rate_per_min: { span: 60, step: 20 },
  pulse_rate_per_min: { span: 60, step: 20 },
  respiratory_rate_per_min: { span: 20, step: 5 },
  spo2_pct: { span: 20, step: 5 },
  sao2_pct: { span: 20, step: 5 },
  etco2_mmhg: { span: 30, step: 10 },
  gcs_total: { span: 12, step: 12 },
};
const MMHG_SPAN = { span: 60, step: 20 };

/**
 * The range that a row is drawn in: what is there, widened to whole steps, never narrower than a span that keeps
 * small noise small, not beyond what the row is meant to show unless a value lies there. Whole steps keep the picture
 * still.
 */
export function rowRange(signal: string, low: number, high: number, values: Iterable<number | null>): Range {
  if (signal === 'gcs_total') return { low: 3, high: 15 };
  const known = SPANS[signal] ?? (signal.endsWith('_mmhg') ? MMHG_SPAN : null);
  const span = known?.span ?? (high - low) / 5;
  const step = known?.step ?? span / 3;
  let least = Infinity;
  let most = -Infinity;
  for (const value of values) {
    if (value === null || !Number.isFinite(value)) continue;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  if (least > most) return { low, high: Math.min(high, low + span) };
  low = Math.min(low, least);
  high = Math.max(high, most);
  let bottom = Math.max(low, Math.floor(least / step) * step);
  let top = Math.min(high, Math.ceil(most / step) * step);
  while (top - bottom < span) {
    const before = top - bottom;
    if (top < high) top = Math.min(high, top + step);
    if (top - bottom < span && bottom > low) bottom = Math.max(low, bottom - step);
    if (top - bottom === before) break;
  }
  return { low: bottom, high: top > bottom ? top : bottom + span };
}

/** Height of a value in a row; what is outside the range stays at its edge. */
export function yScale(range: Range, top: number, bottom: number): (value: number) => number {
  const per = (bottom - top) / (range.high - range.low);
  return (value) => bottom - (Math.min(range.high, Math.max(range.low, value)) - range.low) * per;
}

const r1 = (value: number): string => (Math.round(value * 10) / 10).toString();

/**
 * The line of a track between two times as SVG path data. Unknown seconds break the line. Where more than two
 * samples fall on one pixel only their least and greatest are drawn, so that a short dip is never lost.
 */
export function linePath(
  track: Track,
  scale: TimeScale,
  y: (value: number) => number,
  from_s = scale.from_s,
  to_s = scale.to_s,
): string {
  const first = Math.max(0, Math.ceil((from_s - track.t0_s) / track.dt_s - 1e-9));
  const last = Math.min(track.values.length - 1, Math.floor((to_s - track.t0_s) / track.dt_s + 1e-9));
  let path = '';
  let isOpen = false;
  let column = -Infinity;
  let low: [number, number] | null = null;
  let high: [number, number] | null = null;
  const point = (x: number, value: number) => {
    path += `${isOpen ? 'L' : 'M'}${r1(x)} ${r1(y(value))}`;
    isOpen = true;
  };
  const flush = () => {
    if (low && high) {
      const [early, late] = low[0] <= high[0] ? [low, high] : [high, low];
      point(early[0], early[1]);
      if (late[0] !== early[0]) point(late[0], late[1]);
    }
    low = high = null;
  };
  for (let i = first; i <= last; i++) {
    const value = track.values[i] ?? null;
    if (value === null || !Number.isFinite(value)) {
      flush();
      isOpen = false;
      column = -Infinity;
      continue;
    }
    const x = scale.x(track.t0_s + i * track.dt_s);
    if (Math.floor(x) !== column) {
      flush();
      column = Math.floor(x);
    }
    if (!low || value < low[1]) low = [x, value];
    if (!high || value > high[1]) high = [x, value];
  }
  flush();
  return path;
}

/** The area between two tracks as SVG path data, where both are known. */
export function bandPath(
  upper: Track,
  lower: Track,
  scale: TimeScale,
  y: (value: number) => number,
  from_s = scale.from_s,
  to_s = scale.to_s,
): string {
  let path = '';
  let there: string[] = [];
  let back: string[] = [];
  const close = () => {
    if (there.length > 1) path += `M${there.join('L')}L${back.reverse().join('L')}Z`;
    there = [];
    back = [];
  };
  const first = Math.max(0, Math.ceil((from_s - upper.t0_s) / upper.dt_s - 1e-9));
  const last = Math.min(upper.values.length - 1, Math.floor((to_s - upper.t0_s) / upper.dt_s + 1e-9));
  let column = -Infinity;
  for (let i = first; i <= last; i++) {
    const t_s = upper.t0_s + i * upper.dt_s;
    const above = upper.values[i] ?? null;
    const below = valueAt(lower, t_s);
    if (above === null || below === null) {
      close();
      column = -Infinity;
      continue;
    }
    const x = scale.x(t_s);
    if (Math.floor(x) === column && i !== last) continue;
    column = Math.floor(x);
    there.push(`${r1(x)} ${r1(y(above))}`);
    back.push(`${r1(x)} ${r1(y(below))}`);
  }
  close();
  return path;
}

/** The value of a track at a time: the nearest sample, null outside or unknown. */
export function valueAt(track: Track, t_s: number): number | null {
  const i = Math.round((t_s - track.t0_s) / track.dt_s);
  const value = track.values[i];
  return value === undefined || value === null || !Number.isFinite(value) ? null : value;
}

/** Values of a track between two times. */
export function* valuesBetween(track: Track, from_s: number, to_s: number): Generator<number | null> {
  const first = Math.max(0, Math.ceil((from_s - track.t0_s) / track.dt_s));
  const last = Math.min(track.values.length - 1, Math.floor((to_s - track.t0_s) / track.dt_s));
  for (let i = first; i <= last; i++) yield track.values[i] ?? null;
}

const TICK_STEPS_S = [10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600];

/** Whole times between two times, at most about `most` of them. */
export function tickTimes(from_s: number, to_s: number, most: number): number[] {
  const step = TICK_STEPS_S.find((each) => (to_s - from_s) / each <= most) ?? 7200;
  const ticks: number[] = [];
  for (let t_s = Math.ceil(from_s / step) * step; t_s <= to_s; t_s += step) ticks.push(t_s);
  return ticks;
}

export interface Label {
  x: number;
  width: number;
}

/**
 * Levels (0 is the first) for labels that start at `x`, so that no two on a level touch; -1 where no level is free.
 * The later label gives way.
 */
export function levelsFor(labels: readonly Label[], levels: number, gap = 6): number[] {
  const ends = new Array<number>(levels).fill(-Infinity);
  return labels.map((label) => {
    for (let level = 0; level < levels; level++) {
      if (label.x >= (ends[level] ?? 0)) {
        ends[level] = label.x + label.width + gap;
        return level;
      }
    }
    return -1;
  });
}

let pen: CanvasRenderingContext2D | null | undefined;
const widths = new Map<string, number>();

/** The width of a label in the sans type before it is drawn; estimated where nothing can be measured. */
export function widthOf(text: string, size: number, weight = 400): number {
  const key = `${weight} ${size} ${text}`;
  const known = widths.get(key);
  if (known !== undefined) return known;
  if (pen === undefined) pen = typeof OffscreenCanvas === 'undefined' ? null : penOf();
  let width = text.length * size * 0.54;
  if (pen) {
    pen.font = `${weight} ${size}px Inter, sans-serif`;
    width = pen.measureText(text).width;
  }
  if (widths.size > 2000) widths.clear();
  widths.set(key, width);
  return width;
}

function penOf(): CanvasRenderingContext2D | null {
  return document.createElement('canvas').getContext('2d');
}
