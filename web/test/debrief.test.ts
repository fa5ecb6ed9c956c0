import { describe, expect, it } from 'vitest';
import { changedCuts } from '../src/debrief/cuts';
import { apartText, plotData, type PlotLine, plotRange, readingAt } from '../src/debrief/plot';
import type { Answered } from '../src/debrief/what_if.svelte';
import { mostMoved, partsAt } from '../src/lib/differences';
import type { AxisView, LogLine, Ring, Track } from '../src/lib/proto';
import { spanScale } from '../src/lib/river';
import { heldPlaces } from '../src/lib/river_row';

const axis = (signal: string, changes: Partial<AxisView> = {}): AxisView => ({ signal, label: signal, system: 'pressure', unit: 'mmHg', factor: 1, offset: 0, low: 0, high: 200, decimals: 0, ...changes });
const track = (signal: string, values: (number | null)[]): Track => ({ signal, t0_s: 0, dt_s: 1, values });
const line = (name: string, values: (number | null)[], look: PlotLine['look'] = 'solid'): PlotLine => ({ name, look, track: track('x', values) });
const entry = (seq: number, t_s: number, changes: Partial<LogLine> = {}): LogLine =>
  ({ seq, t_s, kind: 'care given', text: `entry ${seq}`, is_cut: true, cut_label: `cut ${seq}`, is_undone: false, is_late: false, note: '', action: {}, ...changes }) as unknown as LogLine;

describe('a plot of one row', () => {
  // 1 kPa = 7.50062 mmHg (SI Brochure, 8th edition 2006, table 8), so 90 mmHg are 12.0 kPa.
  const kpa = axis('systolic_pressure_mmhg', { unit: 'kPa', factor: 0.133322387415, decimals: 1 });

  it('draws what the lab shows, second by second, and leaves a gap where nothing is known', () => {
    const [seconds, run, got] = plotData(kpa, [line('in the run', [90, null, 75])], [{ t_s: 2.2, value: 60 } as Ring], 0, 2);
    expect(seconds).toEqual([0, 1, 2]);
    expect(run![0]).toBeCloseTo(12.0, 2);
    expect(run![1]).toBeNull();
    expect(got!.slice(0, 2)).toEqual([null, null]);
    expect(got![2]).toBeCloseTo(8.0, 2);
  });

  it('reads every line at the cursor in words', () => {
    const lines = [line('in the run', [90, 90]), line('what if', [90, 75], 'dashed')];
    expect(readingAt(kpa, lines, 1)).toEqual([
      { name: 'in the run', look: 'solid', text: '12.0' },
      { name: 'what if', look: 'dashed', text: '10.0' },
    ]);
    expect(apartText(kpa, lines, 1)).toBe('2.0 kPa lower');
    expect(apartText(kpa, lines, 0)).toBe('the same');
    expect(apartText(kpa, [lines[0]!, line('what if', [90, null])], 1)).toBe('');
    expect(readingAt(kpa, lines, 50)[0]!.text).toBe('–');
  });

  it('keeps small noise small', () => {
    const [low, high] = plotRange(axis('systolic_pressure_mmhg'), [line('in the run', [100, 101, 100])], 0, 2);
    expect(high - low).toBeGreaterThanOrEqual(60);
  });
});

describe('where two courses part', () => {
  const axes = [axis('heart_rate_per_min'), axis('systolic_pressure_mmhg')];
  const base = [track('heart_rate_per_min', [80, 80, 80, 80, 80, 80]), track('systolic_pressure_mmhg', [100, 100, 100, 100, 100, 100])];

  it('is the first second at which a row differs by more than noise', () => {
    const changed = [track('heart_rate_per_min', [80, 80, 82, 83, 84, 90]), track('systolic_pressure_mmhg', [100, 100, 99, 95, 80, 60])];
    expect(partsAt(axes, base, changed, 1)).toEqual({ t_s: 3, label: 'systolic_pressure_mmhg' });
    expect(mostMoved(axes, base, changed)).toBe('systolic_pressure_mmhg');
  });

  it('is nowhere for two that are one', () => {
    expect(partsAt(axes, base, base, 0)).toBeNull();
    expect(mostMoved(axes, base, base)).toBeNull();
  });

  it('counts a signal that is lost in one of them', () => {
    const changed = [base[0]!, track('systolic_pressure_mmhg', [100, 100, 100, 100, null, null])];
    expect(partsAt(axes, base, changed, 0)).toEqual({ t_s: 4, label: 'systolic_pressure_mmhg' });
  });
});

describe('events in the river of a what-if', () => {
  const log = [entry(3, 10), entry(4, 20, { is_cut: false }), entry(5, 30, { is_undone: true })];
  const what = (changes: Partial<Answered>): Answered => ({ answer: {} as Answered['answer'], about: log[0]!, at_s: null, label: 'needle left', ...changes });

  it('shows what was taken away where it stood', () => {
    expect(changedCuts(log, () => false, what({}))).toMatchObject([{ seq: 3, t_s: 10, change: 'gone' }]);
  });

  it('shows what was moved at both places, in order of time', () => {
    expect(changedCuts(log, (each) => each.seq === 4, what({ at_s: 5 }))).toMatchObject([
      { t_s: 5, label: 'what if: needle left', change: 'new' },
      { seq: 3, change: 'gone' },
      { seq: 4, isPicked: true },
    ]);
  });

  it('shows what was added, and nothing of a run without a what-if', () => {
    expect(changedCuts(log, () => false, what({ about: null, at_s: 15 })).map((cut) => cut.change)).toEqual([undefined, 'new']);
    expect(changedCuts(log, () => false, null).map((cut) => cut.change)).toEqual([undefined]);
  });
});

describe('held stretches', () => {
  const scale = spanScale({ from_s: 0, to_s: 100, left: 200, right: 1200 });

  it('end at the edges, and have words only where there is room', () => {
    expect(heldPlaces([{ from_s: -20, to_s: 50, label: 'shown by hand' }], { scale })).toEqual([{ x: 200, width: 500, label: 'shown by hand' }]);
    expect(heldPlaces([{ from_s: 10, to_s: 11, label: 'shown by hand: harder' }], { scale })[0]!.label).toBe('');
    expect(heldPlaces([{ from_s: 150, to_s: 160, label: 'later' }], { scale })).toEqual([]);
  });
});
