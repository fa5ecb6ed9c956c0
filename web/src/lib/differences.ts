/** What a what-if changed, in words: the lowest, the highest and the last value of each row. */
import type { AxisView, Track } from './proto';
import { valuesBetween } from './river';

export interface Difference {
  label: string;
  /** "lowest", "highest", "at the end" */
  which: string;
  was: string;
  is: string;
  unit: string;
}

/** Below these a difference is not worth a line, in core units by signal; elsewhere a fiftieth of the row's height. */
const WORTH: Record<string, number> = {
  heart_rate_per_min: 5,
  systolic_pressure_mmhg: 4,
  spo2_pct: 2,
  etco2_mmhg: 3,
  respiratory_rate_per_min: 2,
  gcs_total: 1,
};

const worthOf = (axis: AxisView): number => WORTH[axis.signal] ?? (axis.high - axis.low) / 50;

export function shownValue(axis: AxisView, value: number): string {
  return (value * axis.factor + axis.offset).toFixed(axis.decimals);
}

function ends(track: Track, from_s: number): { low: number; high: number; last: number } | null {
  let low = Infinity;
  let high = -Infinity;
  let last = NaN;
  for (const value of valuesBetween(track, from_s, Infinity)) {
    if (value === null || !Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
    last = value;
  }
  return low > high ? null : { low, high, last };
}

/** Differences after `from_s`, row by row, as the screen shows numbers. `was` is the run as it went. */
export function differences(
  axes: readonly AxisView[],
  baseline: readonly Track[],
  changed: readonly Track[],
  from_s: number,
): Difference[] {
  const found: Difference[] = [];
  for (const axis of axes) {
    const before = baseline.find((track) => track.signal === axis.signal);
    const after = changed.find((track) => track.signal === axis.signal);
    const was = before && ends(before, from_s);
    const is = after && ends(after, from_s);
    if (!was || !is) continue;
    const worth = worthOf(axis);
    const unit = axis.unit === '1' ? '' : axis.unit;
    for (const [which, a, b] of [
      ['lowest', was.low, is.low],
      ['highest', was.high, is.high],
      ['at the end', was.last, is.last],
    ] as const) {
      if (Math.abs(b - a) >= worth)
        found.push({ label: axis.label, which, was: shownValue(axis, a), is: shownValue(axis, b), unit });
    }
  }
  return found;
}

/**
 * Where two courses first lie apart by more than noise, and in which row; null where they never do. Both are sampled
 * alike.
 */
export function partsAt(axes: readonly AxisView[], baseline: readonly Track[], changed: readonly Track[], from_s: number): { t_s: number; label: string } | null {
  let first: { t_s: number; label: string } | null = null;
  for (const axis of axes) {
    const before = baseline.find((track) => track.signal === axis.signal);
    const after = changed.find((track) => track.signal === axis.signal);
    if (!before || !after) continue;
    const worth = worthOf(axis);
    const start = Math.max(0, Math.floor((from_s - after.t0_s) / after.dt_s));
    for (let i = start; i < after.values.length; i++) {
      const a = before.values[i] ?? null;
      const b = after.values[i] ?? null;
      const t_s = after.t0_s + i * after.dt_s;
      if (first && t_s >= first.t_s) break;
      if ((a === null) !== (b === null) || (a !== null && b !== null && Math.abs(b - a) >= worth)) {
        first = { t_s, label: axis.label };
        break;
      }
    }
  }
  return first;
}

/** The row that a change moves most, by what is worth a line there. */
export function mostMoved(axes: readonly AxisView[], baseline: readonly Track[], changed: readonly Track[]): string | null {
  let best: string | null = null;
  let most = 0;
  for (const axis of axes) {
    const before = baseline.find((track) => track.signal === axis.signal);
    const after = changed.find((track) => track.signal === axis.signal);
    if (!before || !after) continue;
    let sum = 0;
    for (let i = 0; i < after.values.length; i++) {
      const a = before.values[i] ?? null;
      const b = after.values[i] ?? null;
      if (a !== null && b !== null) sum += Math.abs(b - a) / worthOf(axis);
    }
    if (sum > most) [most, best] = [sum, axis.signal];
  }
  return best;
}
