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
    const worth = WORTH[axis.signal] ?? (axis.high - axis.low) / 50;
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
