import { describe, expect, it } from 'vitest';
import { parseFrame, PlayClock, WaveBuffer, WavePainter, WavePlayer } from '../src/lib/waves';

/** As `core/signals/waves.py` packs it: index in steps of 10 ms, each wave at its own rate. */
function frame(index: number, waves: [code: number, samples: number[]][], rate = 100, format = 1): ArrayBuffer {
  const size = 8 + waves.reduce((sum, [, samples]) => sum + 3 + 4 * samples.length, 0);
  const view = new DataView(new ArrayBuffer(size));
  view.setUint8(0, format);
  view.setUint8(1, waves.length);
  view.setUint16(2, rate, true);
  view.setUint32(4, index, true);
  let at = 8;
  for (const [code, samples] of waves) {
    view.setUint8(at, code);
    view.setUint16(at + 1, samples.length, true);
    at += 3;
    for (const sample of samples) {
      view.setFloat32(at, sample, true);
      at += 4;
    }
  }
  return view.buffer;
}

describe('a frame', () => {
  it('gives every wave its samples and one start', () => {
    const got = parseFrame(frame(200, [[1, [0.5, 1, 1.5, 2, 2.5]], [2, [0.25, 0.75]]]))!;
    expect(got.t0_s).toBe(2);
    expect(got.waves.map((wave) => [wave.name, [...wave.samples]])).toEqual([['ecg_ii', [0.5, 1, 1.5, 2, 2.5]], ['pleth', [0.25, 0.75]]]);
  });
  it('of another format, or cut short, is not drawn', () => {
    expect(parseFrame(frame(0, [[1, [1]]], 100, 2))).toBeNull();
    expect(parseFrame(frame(0, [[1, [1, 2]]]).slice(0, 14))).toBeNull();
    expect(parseFrame(new ArrayBuffer(3))).toBeNull();
  });
  it('passes over a wave it does not know', () => {
    expect(parseFrame(frame(0, [[99, [1]], [3, [38]]]))!.waves.map((wave) => wave.name)).toEqual(['co2']);
  });
});

describe('a buffer', () => {
  it('marks a gap as unknown and never fills it with old samples', () => {
    const wave = new WaveBuffer(100, 1);
    wave.push(0, new Float32Array([1, 2]));
    wave.push(4, new Float32Array([5]));
    expect([0, 1, 2, 3, 4, 5].map((i) => wave.at(i))).toEqual([1, 2, NaN, NaN, 5, NaN]);
  });
  it('forgets what is older than it keeps', () => {
    const wave = new WaveBuffer(100, 1);
    wave.push(0, new Float32Array(150).fill(3));
    expect(wave.at(49)).toBeNaN();
    expect(wave.at(50)).toBe(3);
  });
});

describe('the play clock', () => {
  const play = (clock: PlayClock, seconds: number, arrives: (t: number) => number | null) => {
    const speeds: number[] = [];
    for (let t = 0; t < seconds; t += 1 / 60) {
      const newest = arrives(t);
      if (newest !== null) clock.heard(newest);
      const before = clock.played_s;
      clock.advance(1 / 60);
      speeds.push((clock.played_s - before) * 60);
    }
    return speeds;
  };

  it('plays a quarter of a second behind', () => {
    const clock = new PlayClock();
    play(clock, 20, (t) => Math.floor(t * 10) / 10 + 100);
    expect(clock.newest_s - clock.played_s).toBeGreaterThan(0.15);
    expect(clock.newest_s - clock.played_s).toBeLessThan(0.36);
  });
  it('changes its speed by five per cent at most', () => {
    const speeds = play(new PlayClock(), 30, (t) => Math.floor(t * 1.02 * 10) / 10 + 100);
    expect(Math.max(...speeds)).toBeLessThanOrEqual(1.05 + 1e-9);
    expect(Math.min(...speeds)).toBeGreaterThanOrEqual(0.95 - 1e-9);
  });
  it('jumps when it is more than two seconds late, as after a hidden tab', () => {
    const clock = new PlayClock();
    clock.heard(10);
    clock.newest_s = 20;
    expect(clock.advance(1 / 60)).toEqual({ played_s: 19.75, jumped: true });
  });
  it('stands still when nothing more has come', () => {
    const clock = new PlayClock();
    clock.heard(10);
    for (let i = 0; i < 600; i++) clock.advance(1 / 60);
    expect(clock.played_s).toBeLessThanOrEqual(10);
  });
});

describe('the player', () => {
  it('begins anew when the index falls', () => {
    const player = new WavePlayer();
    player.take(frame(5000, [[2, [1, 1]]]), 0);
    player.take(frame(10, [[2, [7, 7]]]), 100);
    expect(player.buffers.get('pleth')!.at(10)).toBe(7);
    expect(player.buffers.get('pleth')!.at(5000)).toBeNaN();
    expect(player.clock.newest_s).toBeCloseTo(0.12, 9);
  });
  it('places each wave by its own rate', () => {
    const player = new WavePlayer();
    player.take(frame(200, [[1, [1, 2, 3, 4, 5]], [3, [38, 39]]]), 0);
    expect(player.buffers.get('ecg_ii')!.at(500)).toBe(1);
    expect(player.buffers.get('co2')!.at(201)).toBe(39);
  });
});

describe('the painter', () => {
  function drawing() {
    const moves: [number, number][] = [];
    const wiped: [number, number][] = [];
    const context = {
      setTransform() {}, clearRect: (x: number, _y: number, width: number) => wiped.push([x, width]), beginPath() {}, stroke() {},
      moveTo: (x: number, y: number) => moves.push([x, y]), lineTo: (x: number, y: number) => moves.push([x, y]),
    };
    const canvas = { width: 0, height: 0, getContext: () => context } as unknown as HTMLCanvasElement;
    const painter = new WavePainter(canvas, { colour: '#fff', width: 2, span: 1, floor: 0 }, 4);
    painter.resize(400, 100, 1);
    return { painter, moves, wiped };
  }
  it('draws only the new piece', () => {
    const wave = new WaveBuffer(100, 10);
    wave.push(0, new Float32Array(1000).map((_, i) => (i % 100) / 100));
    const { painter, moves } = drawing();
    painter.draw(wave, 5, true);
    const all = moves.length;
    painter.draw(wave, 5.05, false);
    expect(moves.length - all).toBe(6);
  });
  it('keeps everything on the sheet, and starts again at the left', () => {
    const wave = new WaveBuffer(100, 10);
    wave.push(0, new Float32Array(1000).fill(0.5));
    const { painter, moves } = drawing();
    painter.draw(wave, 3.98, true);
    painter.draw(wave, 4.025, false);
    expect(moves.every(([x, y]) => x >= 0 && x <= 400 && y >= 0 && y <= 100)).toBe(true);
    expect(moves.at(-1)![0]).toBe(2);
  });
  it('wipes all that it skips, so that nothing of the last sweep is left behind after a pause', () => {
    const wave = new WaveBuffer(100, 10);
    wave.push(0, new Float32Array(1000).fill(0.5));
    const { painter, wiped } = drawing();
    painter.draw(wave, 5, true);
    wiped.length = 0;
    painter.draw(wave, 6.5, false);
    const [[x, width]] = wiped as [[number, number]];
    expect(x).toBeLessThanOrEqual(100 + 2); // 5 s is the place of 1 s on a sheet of 4 s and 400 px
    expect(x + width).toBeGreaterThanOrEqual(250 + 0.28 * 100);
  });
  it('makes room for a wave that outgrows its range', () => {
    const wave = new WaveBuffer(100, 10);
    wave.push(0, new Float32Array(300).fill(0.5));
    const { painter } = drawing();
    painter.draw(wave, 2.9, true);
    expect(painter.range[1]).toBe(1);
    wave.push(300, new Float32Array(100).fill(1.7));
    painter.draw(wave, 3.5, false);
    expect(painter.range[1]).toBe(2);
  });
});
