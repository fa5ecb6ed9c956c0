/** What a plot of one row draws: numbers for uPlot on one axis of seconds, and the words of its reading. */
import type { AlignedData } from 'uplot';
import { shownValue } from '../lib/differences';
import type { AxisView, Ring, Track } from '../lib/proto';
import { rowRange, valueAt, valuesBetween } from '../lib/river';

export interface PlotLine {
  /** "in the run", "what if", "on the room monitor" */
  name: string;
  track: Track;
  look: 'solid' | 'dashed' | 'thin';
}

const scaled = (axis: AxisView, value: number | null): number | null => (value === null ? null : value * axis.factor + axis.offset);

/** One column of seconds, one of values a line, and one of what the crew got; values as the lab shows them. */
export function plotData(axis: AxisView, lines: readonly PlotLine[], rings: readonly Ring[], from_s: number, to_s: number): AlignedData {
  const first = Math.ceil(from_s);
  const seconds = Array.from({ length: Math.max(0, Math.floor(to_s) - first + 1) }, (_, i) => first + i);
  const got = new Map<number, number>();
  for (const ring of rings) if (ring.value !== null && ring.value !== undefined) got.set(Math.round(ring.t_s), ring.value);
  return [
    seconds,
    ...lines.map((line) => seconds.map((t_s) => scaled(axis, valueAt(line.track, t_s)))),
    seconds.map((t_s) => scaled(axis, got.get(t_s) ?? null)),
  ];
}

/** The range of the values axis, as the river draws its rows: small noise stays small. */
export function plotRange(axis: AxisView, lines: readonly PlotLine[], from_s: number, to_s: number): [number, number] {
  const values = function* () {
    for (const line of lines) yield* valuesBetween(line.track, from_s, to_s);
  };
  const range = rowRange(axis.signal, axis.low, axis.high, values());
  const room = (range.high - range.low) * 0.04;
  return [scaled(axis, range.low - room)!, scaled(axis, range.high + room)!];
}

/** Each line with its value at a time, as printed; a dash where there is none. */
export function readingAt(axis: AxisView, lines: readonly PlotLine[], t_s: number): { name: string; look: PlotLine['look']; text: string }[] {
  return lines.map((line) => {
    const value = valueAt(line.track, t_s);
    return { name: line.name, look: line.look, text: value === null ? '–' : shownValue(axis, value) };
  });
}

/** How far the second line is from the first at a time, in words; empty where it is not known or the same. */
export function apartText(axis: AxisView, lines: readonly PlotLine[], t_s: number): string {
  const [was, is] = lines.map((line) => valueAt(line.track, t_s));
  if (was === null || is === null || was === undefined || is === undefined) return '';
  const by = Number(((is - was) * axis.factor).toFixed(axis.decimals));
  if (by === 0) return 'the same';
  return `${Math.abs(by).toFixed(axis.decimals)}${axis.unit === '1' ? '' : ` ${axis.unit}`} ${by > 0 ? 'higher' : 'lower'}`;
}
