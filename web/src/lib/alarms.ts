/**
 * Alarms as IEC 60601-1-8 means them: priority by mark, colour and sound together, never by colour alone.
 * (Edition and figures from memory: high flashes at 1.4 to 2.8 Hz, medium at 0.4 to 0.8 Hz, low is steady; high
 * sounds ten pulses, medium three, low one or two. Here nothing flashes faster than 2 Hz.)
 */
export type Priority = 'high' | 'medium' | 'low';

export interface Alarm {
  priority: Priority;
  text: string;
}

const MARKS: [string, Priority][] = [
  ['!!!', 'high'],
  ['!!', 'medium'],
  ['!', 'low'],
];

export function alarmOf(line: string): Alarm {
  for (const [mark, priority] of MARKS)
    if (line.startsWith(mark)) return { priority, text: line.slice(mark.length).trim() };
  return { priority: 'low', text: line.trim() };
}

const RANK: Record<Priority, number> = { high: 0, medium: 1, low: 2 };

/** Highest priority first; the order within a priority is kept. */
export function alarmsOf(lines: readonly string[]): Alarm[] {
  return lines.map(alarmOf).sort((a, b) => RANK[a.priority] - RANK[b.priority]);
}

export const MARK_OF: Record<Priority, string> = { high: '!!!', medium: '!!', low: '!' };

/** Pulses of one burst: start within the burst in seconds. High is 3 + 2, twice. */
const PULSES_S: Record<Priority, number[]> = {
  high: [0, 0.2, 0.4, 0.75, 0.95, 1.6, 1.8, 2.0, 2.35, 2.55],
  medium: [0, 0.3, 0.6],
  low: [0, 0.4],
};
export const REPEAT_S: Record<Priority, number> = { high: 6, medium: 12, low: 25 };
const PITCH_HZ: Record<Priority, number> = { high: 587, medium: 440, low: 330 };

/** Sounds bursts while it is on; silent until somebody switches it on. */
export class AlarmSound {
  #context: AudioContext | null = null;
  #next_s = 0;
  isOn = false;

  async set(on: boolean): Promise<void> {
    this.isOn = on;
    if (on) {
      this.#context ??= new AudioContext();
      await this.#context.resume();
      this.#next_s = 0;
    } else {
      await this.#context?.suspend();
    }
  }

  /** Called a few times a second with the highest priority present, null when there is none. */
  beat(priority: Priority | null, now_s: number): void {
    const context = this.#context;
    if (!this.isOn || !context) return;
    if (priority === null) {
      this.#next_s = 0;
      return;
    }
    if (now_s < this.#next_s) return;
    this.#next_s = now_s + REPEAT_S[priority];
    for (const at of PULSES_S[priority]) pulse(context, context.currentTime + at, PITCH_HZ[priority]);
  }
}

function pulse(context: AudioContext, at: number, pitch_hz: number): void {
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(0.18, at + 0.02);
  gain.gain.setValueAtTime(0.18, at + 0.11);
  gain.gain.linearRampToValueAtTime(0, at + 0.15);
  gain.connect(context.destination);
  for (const harmonic of [1, 2, 3, 4, 5]) {
    const tone = context.createOscillator();
    const share = context.createGain();
    share.gain.value = 1 / (harmonic * harmonic);
    tone.frequency.value = pitch_hz * harmonic;
    tone.connect(share).connect(gain);
    tone.start(at);
    tone.stop(at + 0.17);
  }
}
