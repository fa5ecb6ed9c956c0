import { describe, expect, it } from 'vitest';
import { apply, KEPT_S, withTail } from '../src/lib/fold';
import type { Delta, Track } from '../src/lib/proto';
import { snapshot } from './helpers';

const track = (t0_s: number, values: (number | null)[], signal = 'spo2_pct'): Track => ({ signal, t0_s, dt_s: 1, values });
const nothing: Delta = { type: 'delta', clock_s: 101, run: null, phases: null, numbers: null, track_tail: [], rings: null, log: null, cues: null, set_by_hand: null, supply: null, problems: null, holds: null, answers: null, notices: null, monitor: null };

describe('a track', () => {
  it('grows at its end', () => {
    expect(withTail(track(0, [1, 2]), track(2, [3])).values).toEqual([1, 2, 3]);
  });
  it('is written over where the body was recomputed', () => {
    expect(withTail(track(0, [1, 2, 3]), track(1, [8, 9])).values).toEqual([1, 8, 9]);
  });
  it('keeps its spacing over a gap', () => {
    expect(withTail(track(0, [1]), track(3, [4])).values).toEqual([1, null, null, 4]);
  });
  it('forgets what is no longer drawn', () => {
    const long = withTail(track(0, Array.from({ length: KEPT_S }, (_, i) => i)), track(KEPT_S, [7]));
    expect(long.values.length).toBe(KEPT_S);
    expect(long.t0_s).toBe(1);
    expect(long.values.at(-1)).toBe(7);
  });
  it('begins anew when the tail lies before it', () => {
    expect(withTail(track(50, [1]), track(0, [2])).t0_s).toBe(0);
  });
});

describe('a delta', () => {
  it('leaves absent parts as the very same objects', () => {
    const before = snapshot({ log: [], tracks: [track(0, [1])] });
    const after = apply(before, nothing);
    expect(after.clock_s).toBe(101);
    expect(after.log).toBe(before.log);
    expect(after.tracks).toBe(before.tracks);
  });
  it('replaces what it brings and appends tails, new signals too', () => {
    const after = apply(snapshot({ tracks: [track(0, [1])] }), { ...nothing, cues: [], track_tail: [track(1, [2]), track(1, [80], 'heart_rate_per_min')] });
    expect(after.tracks.map((each) => [each.signal, each.values])).toEqual([['spo2_pct', [1, 2]], ['heart_rate_per_min', [80]]]);
  });
});
