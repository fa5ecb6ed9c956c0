import { describe, expect, it } from 'vitest';
import type { NumberView, Ring, Track } from '../src/lib/proto';
import { bandPath, levelsFor, linePath, liveScale, rowRange, spanScale, tickTimes, valueAt, yScale } from '../src/lib/river';
import { fromMoment, homeless, isAtHome, liveRows, ringText } from '../src/lib/rows';

const live = liveScale({ now_s: 372, past_s: 600, future_s: 600, left: 100, now_x: 700, right: 1000 });
const track = (values: (number | null)[], t0_s = 0, dt_s = 1): Track => ({ signal: 's', t0_s, dt_s, values });
const points = (path: string) => [...path.matchAll(/([ML])([\d.-]+) ([\d.-]+)/g)].map(([, how, x, y]) => [how, Number(x), Number(y)]);

describe('the live scale', () => {
  it('puts now at its line, ten minutes back at the left and ten ahead at the right', () => {
    expect(live.x(372)).toBe(700);
    expect(live.x(372 - 600)).toBe(100);
    expect(live.x(372 + 600)).toBe(1000);
  });
  it('turns back into time on both sides', () => {
    for (const t_s of [-228, 0, 371, 372, 500, 972]) expect(live.t(live.x(t_s))).toBeCloseTo(t_s, 9);
  });
});

it('the debrief scale runs over the whole run', () => {
  const span = spanScale({ from_s: 0, to_s: 780, left: 100, right: 880 });
  expect([span.x(0), span.x(390), span.x(780)]).toEqual([100, 490, 880]);
  expect(span.t(490)).toBeCloseTo(390, 9);
});

describe('a row', () => {
  it('keeps small noise small', () => {
    const range = rowRange('heart_rate_per_min', 0, 200, [80, 81, 80.5]);
    expect(range.high - range.low).toBeGreaterThanOrEqual(60);
    expect(range.low).toBeLessThanOrEqual(80);
    expect(range.high).toBeGreaterThanOrEqual(81);
  });
  it('holds every value, also one beyond what the row is meant to show', () => {
    const range = rowRange('heart_rate_per_min', 0, 200, [30, 236]);
    expect(range.low).toBeLessThanOrEqual(30);
    expect(range.high).toBeGreaterThanOrEqual(236);
  });
  it('does not move while values stay within a step', () => {
    expect(rowRange('spo2_pct', 50, 100, [91, 97])).toEqual(rowRange('spo2_pct', 50, 100, [92, 96]));
  });
  it('has a range when nothing is known', () => {
    const range = rowRange('etco2_mmhg', 0, 80, [null, NaN]);
    expect(range.high).toBeGreaterThan(range.low);
  });
  it('draws the whole coma scale', () => {
    expect(rowRange('gcs_total', 3, 15, [15])).toEqual({ low: 3, high: 15 });
  });
  it('keeps a value outside at the edge', () => {
    const y = yScale({ low: 50, high: 100 }, 10, 60);
    expect([y(50), y(100), y(75), y(20)]).toEqual([60, 10, 35, 60]);
  });
});

describe('a line', () => {
  const scale = spanScale({ from_s: 0, to_s: 10, left: 0, right: 100 });
  it('goes through every sample where there is room', () => {
    expect(points(linePath(track([1, 2, 3]), scale, (v) => v))).toEqual([['M', 0, 1], ['L', 10, 2], ['L', 20, 3]]);
  });
  it('breaks where nothing is known', () => {
    expect(points(linePath(track([1, null, 3, 4]), scale, (v) => v)).map(([how]) => how)).toEqual(['M', 'M', 'L']);
  });
  it('never loses a short dip when many samples share a pixel', () => {
    const values = Array.from({ length: 1000 }, (_, i) => (i === 503 ? 12 : 95));
    const path = linePath(track(values), spanScale({ from_s: 0, to_s: 1000, left: 0, right: 50 }), (v) => v);
    const heights = points(path).map(([, , y]) => y);
    expect(Math.min(...(heights as number[]))).toBe(12);
    expect(heights.length).toBeLessThan(120);
  });
  it('stops at now', () => {
    expect(points(linePath(track([1, 2, 3, 4]), scale, (v) => v, 0, 2)).length).toBe(3);
  });
  it('starts where its track starts', () => {
    expect(points(linePath(track([5, 6], 4), scale, (v) => v))[0]).toEqual(['M', 40, 5]);
  });
});

it('the band closes round both edges', () => {
  const scale = spanScale({ from_s: 0, to_s: 10, left: 0, right: 100 });
  const path = bandPath(track([90, 92]), track([60, 58]), scale, (v) => v);
  expect(points(path).map(([, x, y]) => [x, y])).toEqual([[0, 90], [10, 92], [10, 58], [0, 60]]);
  expect(path.endsWith('Z')).toBe(true);
});

it('labels on one level never touch; the later one gives way', () => {
  expect(levelsFor([{ x: 0, width: 50 }, { x: 30, width: 50 }, { x: 40, width: 10 }, { x: 60, width: 20 }], 2)).toEqual([0, 1, -1, 0]);
});

it('ticks are whole times and not too many', () => {
  expect(tickTimes(0, 372, 7)).toEqual([0, 60, 120, 180, 240, 300, 360]);
  expect(tickTimes(12, 780, 12).every((t_s) => t_s % 120 === 0)).toBe(true);
});

it('a value is read at the nearest second and not beyond the track', () => {
  expect([valueAt(track([1, 2, 3]), 1.4), valueAt(track([1, 2, 3]), 3), valueAt(track([1, null]), 1)]).toEqual([2, null, null]);
});

describe('rows', () => {
  const number = (signal: string, more: Partial<NumberView> = {}): NumberView => ({ signal, label: signal, system: 'heart', unit: '1', value: 1, text: '1', sub_text: '', shown_text: null, low: 0, high: 10, is_held: false, ...more });
  const ring = (signal: string, how: Ring['how'] = 'room monitor'): Ring => ({ t_s: 1, signal, value: 1, text: '26', how });

  it('tell apart "not shown" from "nothing to show"', () => {
    const rows = liveRows([number('spo2_pct'), number('gcs_total')], [], [], [], []);
    expect(rows.map((row) => row.seen)).toEqual(['', null]);
  });
  it('gather pressures in one row, with the band', () => {
    const tracks = ['systolic_pressure_mmhg', 'diastolic_pressure_mmhg'].map((signal) => ({ ...track([1]), signal }));
    const [row] = liveRows([number('systolic_pressure_mmhg')], tracks, [], [ring('mean_arterial_pressure_mmhg')], []);
    expect(row!.band).not.toBeNull();
    expect(row!.rings.length).toBe(1);
  });
  it('name the thresholds that have no row', () => {
    const rows = liveRows([number('spo2_pct')], [], [], [], []);
    const thresholds = ['sao2_pct', 'is_alive'].map((signal) => ({ signal, t_s: 1, text: signal }));
    expect(homeless(thresholds, rows).map((each) => each.signal)).toEqual(['is_alive']);
    expect(isAtHome('gcs_eye', 'gcs_total')).toBe(true);
  });
  it('say on the ring when a value was told', () => {
    expect(ringText(ring('etco2_mmhg', 'told'))).toBe('told 26');
    expect(ringText(ring('etco2_mmhg'))).toBe('26');
  });
  it('draw a what-if only from where it parts', () => {
    expect(fromMoment([track([1, 2, 3, 4])], 2)[0]).toMatchObject({ t0_s: 2, values: [3, 4] });
  });
});
