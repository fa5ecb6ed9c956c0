/**
 * Waves of the room monitor. The server sends samples by index; the screen plays them a quarter of a second behind
 * and hurries or dawdles by at most 5 % to stay there. Plain TypeScript: nothing here is reactive.
 */
import { WAVE_CODES, WAVE_RATE_PER_S } from './proto';

export type WaveName = keyof typeof WAVE_CODES;
const WAVE_OF_CODE = new Map<number, WaveName>(
  Object.entries(WAVE_CODES).map(([name, code]) => [code, name as WaveName]),
);

export interface WaveFrame {
  /** Time of the first sample of every wave, in seconds of the server's wave clock. */
  t0_s: number;
  index: number;
  waves: { name: WaveName; samples: Float32Array }[];
}

const FRAME_FORMAT = 1;

/** A binary frame, or null where it is of another format or cut short. */
export function parseFrame(buffer: ArrayBuffer): WaveFrame | null {
  const view = new DataView(buffer);
  if (view.byteLength < 8 || view.getUint8(0) !== FRAME_FORMAT) return null;
  const count = view.getUint8(1);
  const rate_per_s = view.getUint16(2, true);
  const index = view.getUint32(4, true);
  if (rate_per_s === 0) return null;
  const waves: WaveFrame['waves'] = [];
  let at = 8;
  for (let i = 0; i < count; i++) {
    if (at + 3 > view.byteLength) return null;
    const name = WAVE_OF_CODE.get(view.getUint8(at));
    const n = view.getUint16(at + 1, true);
    at += 3;
    if (at + 4 * n > view.byteLength) return null;
    const samples = new Float32Array(n);
    for (let k = 0; k < n; k++) samples[k] = view.getFloat32(at + 4 * k, true);
    at += 4 * n;
    if (name) waves.push({ name, samples });
  }
  return { t0_s: index / rate_per_s, index, waves };
}

/** The last seconds of one wave, by sample index. A gap is NaN. */
export class WaveBuffer {
  readonly #ring: Float32Array;
  /** Index after the newest sample. */
  end = 0;
  isEmpty = true;

  constructor(
    readonly rate_per_s: number,
    kept_s = 40,
  ) {
    this.#ring = new Float32Array(Math.ceil(rate_per_s * kept_s)).fill(NaN);
  }

  push(first: number, samples: Float32Array): void {
    if (this.isEmpty || first < this.end - this.#ring.length || first > this.end + this.#ring.length) {
      this.#ring.fill(NaN);
      this.end = first;
    }
    for (let i = this.end; i < first; i++) this.#ring[i % this.#ring.length] = NaN;
    for (let k = 0; k < samples.length; k++) this.#ring[(first + k) % this.#ring.length] = samples[k]!;
    this.end = first + samples.length;
    this.isEmpty = false;
  }

  /** The sample at an index; NaN where it is not (or no longer) held. */
  at(index: number): number {
    if (this.isEmpty || index >= this.end || index < this.end - this.#ring.length || index < 0) return NaN;
    return this.#ring[index % this.#ring.length]!;
  }

  clear(): void {
    this.#ring.fill(NaN);
    this.isEmpty = true;
    this.end = 0;
  }
}

const BEHIND_S = 0.25;
const JUMP_S = 2;
const MOST_SPEED_CHANGE = 0.05;

/** Says which second of the waves is on the glass now. */
export class PlayClock {
  /** Seconds of the server's wave clock. */
  played_s = 0;
  newest_s = 0;
  #isSet = false;

  heard(newest_s: number): void {
    if (!this.#isSet || newest_s < this.newest_s - JUMP_S) this.restart(newest_s);
    this.newest_s = newest_s;
  }

  restart(newest_s: number): void {
    this.newest_s = newest_s;
    this.played_s = newest_s - BEHIND_S;
    this.#isSet = true;
  }

  forget(): void {
    this.#isSet = false;
  }

  /** Moves on by the time that passed on this screen; returns the new position. True `jumped` asks for a fresh drawing. */
  advance(dt_s: number): { played_s: number; jumped: boolean } {
    if (!this.#isSet) return { played_s: this.played_s, jumped: false };
    const late_s = this.newest_s - BEHIND_S - (this.played_s + dt_s);
    if (late_s > JUMP_S) {
      this.played_s = this.newest_s - BEHIND_S;
      return { played_s: this.played_s, jumped: true };
    }
    const change = Math.max(-MOST_SPEED_CHANGE, Math.min(MOST_SPEED_CHANGE, late_s));
    this.played_s = Math.min(this.newest_s, this.played_s + dt_s * (1 + change));
    return { played_s: this.played_s, jumped: false };
  }
}

/** All waves of one room. */
export class WavePlayer {
  readonly buffers = new Map<WaveName, WaveBuffer>();
  readonly clock = new PlayClock();
  #lastIndex = -1;
  /** True for the one frame in which the play position jumped: everything is drawn anew. */
  hasJumped = false;
  /** Wall time at which each wave last came, so that a wave whose sensor is off goes blank. */
  readonly heard_ms = new Map<WaveName, number>();

  take(buffer: ArrayBuffer, now_ms: number): boolean {
    const frame = parseFrame(buffer);
    if (!frame) return false;
    if (frame.index < this.#lastIndex) this.reset();
    this.#lastIndex = frame.index;
    let newest_s = frame.t0_s;
    for (const { name, samples } of frame.waves) {
      const rate = WAVE_RATE_PER_S[name];
      let wave = this.buffers.get(name);
      if (!wave) this.buffers.set(name, (wave = new WaveBuffer(rate)));
      wave.push(Math.round(frame.t0_s * rate), samples);
      this.heard_ms.set(name, now_ms);
      newest_s = Math.max(newest_s, frame.t0_s + samples.length / rate);
    }
    this.clock.heard(newest_s);
    return true;
  }

  /** Moves the play position on; once a frame. */
  advance(dt_s: number): void {
    this.hasJumped = this.clock.advance(dt_s).jumped;
  }

  reset(): void {
    for (const wave of this.buffers.values()) wave.clear();
    this.clock.forget();
    this.heard_ms.clear();
    this.#lastIndex = -1;
  }
}

export interface Look {
  colour: string;
  width: number;
  /** Least span of values over the height, so that a flat line stays flat. */
  span: number;
  /** Where the range is anchored: null follows the middle of the wave. */
  floor: number | null;
}

const GAP_S = 0.28;

/**
 * Draws one wave as a hand that sweeps from left to right over a sheet of `window_s` seconds and wipes what lies
 * just ahead of it. Only the new piece is drawn.
 */
export class WavePainter {
  #context: CanvasRenderingContext2D | null;
  #width = 0;
  #height = 0;
  #ratio = 1;
  #drawn = -1;
  #low = 0;
  #high = 1;

  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly look: Look,
    private readonly window_s: number,
  ) {
    this.#context = canvas.getContext('2d');
  }

  resize(width: number, height: number, ratio: number): void {
    this.#width = width;
    this.#height = height;
    this.#ratio = ratio;
    this.canvas.width = Math.max(1, Math.round(width * ratio));
    this.canvas.height = Math.max(1, Math.round(height * ratio));
    this.#drawn = -1;
  }

  blank(): void {
    this.#context?.clearRect(0, 0, this.canvas.width, this.canvas.height);
    this.#drawn = -1;
  }

  /** Draws up to `played_s`; all of it anew when `fresh` or when the range had to change. */
  draw(wave: WaveBuffer, played_s: number, fresh: boolean): void {
    const context = this.#context;
    if (!context || this.#width === 0) return;
    const last = Math.floor(played_s * wave.rate_per_s);
    const sheet = Math.floor(this.window_s * wave.rate_per_s);
    const gap = Math.ceil(GAP_S * wave.rate_per_s);
    if (this.#drawn >= 0 && last <= this.#drawn && !fresh) return;
    const isAnew = fresh || this.#drawn < 0 || last - this.#drawn > sheet - gap;
    const first = isAnew ? last - sheet + gap : this.#drawn;
    if (this.#fit(wave, isAnew ? first : last - sheet + gap, last, isAnew) && !isAnew) {
      this.#drawn = -1;
      this.draw(wave, played_s, true);
      return;
    }
    context.setTransform(this.#ratio, 0, 0, this.#ratio, 0, 0);
    if (isAnew) context.clearRect(0, 0, this.#width, this.#height);
    else this.#wipe(context, (this.#drawn % sheet) / sheet, (last - this.#drawn + gap) / sheet);
    context.strokeStyle = this.look.colour;
    context.lineWidth = this.look.width;
    context.lineJoin = 'round';
    context.lineCap = 'round';
    context.beginPath();
    let isOpen = false;
    for (let i = first; i <= last; i++) {
      const value = wave.at(i);
      const place = ((i % sheet) + sheet) % sheet;
      if (Number.isNaN(value)) {
        isOpen = false;
        continue;
      }
      if (place === 0) isOpen = false;
      const x = (place / sheet) * this.#width;
      const y = this.#y(value);
      if (isOpen) context.lineTo(x, y);
      else context.moveTo(x, y);
      isOpen = true;
    }
    context.stroke();
    this.#drawn = last;
  }

  #wipe(context: CanvasRenderingContext2D, at: number, gap: number): void {
    const x = at * this.#width + this.look.width;
    const width = gap * this.#width;
    context.clearRect(x, 0, width, this.#height);
    if (x + width > this.#width) context.clearRect(0, 0, x + width - this.#width, this.#height);
  }

  #y(value: number): number {
    const margin = 0.1 * this.#height;
    const share = (value - this.#low) / (this.#high - this.#low);
    return this.#height - margin - share * (this.#height - 2 * margin);
  }

  /** Keeps the range; true where the wave has left it or has become much smaller, and the range moved. */
  #fit(wave: WaveBuffer, first: number, last: number, isAnew: boolean): boolean {
    let low = Infinity;
    let high = -Infinity;
    for (let i = Math.max(0, first); i <= last; i++) {
      const value = wave.at(i);
      if (value < low) low = value;
      if (value > high) high = value;
    }
    if (low > high) return false;
    const wanted = this.#range(low, high);
    const isOutside = low < this.#low - 0.08 * (this.#high - this.#low) || high > this.#high + 0.08 * (this.#high - this.#low);
    const isSmall = this.#high - this.#low > 2.2 * (wanted[1] - wanted[0]);
    if (!isAnew && !isOutside && !isSmall) return false;
    if (wanted[0] === this.#low && wanted[1] === this.#high) return false;
    [this.#low, this.#high] = wanted;
    return true;
  }

  #range(low: number, high: number): [number, number] {
    if (this.look.floor !== null) {
      const steps = Math.ceil((high - this.look.floor) / this.look.span);
      return [Math.min(this.look.floor, low), this.look.floor + Math.max(1, steps) * this.look.span];
    }
    const half = Math.max(this.look.span, (high - low) * 1.1) / 2;
    return [(low + high) / 2 - half, (low + high) / 2 + half];
  }

  get range(): [number, number] {
    return [this.#low, this.#high];
  }
}
