/** Where everything of one row of the river stands: paths, rings with their labels, thresholds ahead. */
import { bandPath, levelsFor, linePath, rowRange, type TimeScale, valuesBetween, widthOf, yScale } from './river';
import type { Ring } from './proto';
import type { RiverRow } from './rows';
import { mss } from './time';

/** A stretch in which something was held by hand; without a row it holds the whole picture. */
export interface Held {
  from_s: number;
  to_s: number;
  label: string;
  row?: string;
}

/** The place of a row, and what all rows share. Lengths in pixels. */
export interface RowPlace {
  top: number;
  height: number;
  scale: TimeScale;
  /** Width of the numbers at the left, and where the picture ends. */
  gutter: number;
  right: number;
  /** Where now stands in the live river, and the last moment of the past. */
  now_x: number;
  now_s: number;
}

export interface DrawnRow {
  row: RiverRow;
  top: number;
  height: number;
  /** Size of the big number. */
  size: number;
  line: string;
  band: string;
  shown: string;
  second: string;
  future: string;
  futureBand: string;
  rings: { ring: Ring; x: number; y: number; text: string; flip: boolean }[];
  ahead: { x: number; text: string; width: number; flip: boolean; left: number; level: number }[];
  held: { x: number; width: number; label: string }[];
}

/** The big number takes what its row and the words beside it leave free. */
function numberSize(row: RiverRow, height: number, gutter: number): number {
  const beside = row.sub === '' ? 0 : widthOf(row.sub, 12) + 10;
  const fits = (gutter - 26 - beside) / (Math.max(2, row.text.length) * 0.585);
  return Math.max(13, Math.min(36, (height - (height < 60 ? 20 : 25)) * 0.82, fits));
}

/** Everything of one row at its place. */
export function drawRow(row: RiverRow, at: RowPlace, held: readonly Held[]): DrawnRow {
  const { top, height, scale, now_s } = at;
  const values = function* () {
    for (const track of [row.line, row.shown, row.second, row.future, ...(row.band ?? []), ...(row.futureBand ?? [])])
      if (track) yield* valuesBetween(track, scale.from_s, scale.to_s);
    for (const ring of row.rings) if (ring.t_s >= scale.from_s) yield ring.value;
  };
  const range = rowRange(row.signal, row.low, row.high, values());
  const y = yScale(range, top + Math.min(20, height * 0.3), top + height - Math.min(10, height * 0.16));
  const from_s = scale.from_s;
  return {
    row,
    top,
    height,
    size: numberSize(row, height, at.gutter),
    line: row.line ? linePath(row.line, scale, y, from_s, now_s) : '',
    band: row.band ? bandPath(row.band[0], row.band[1], scale, y, from_s, now_s) : '',
    shown: row.shown ? linePath(row.shown, scale, y, from_s, now_s) : '',
    second: row.second ? linePath(row.second, scale, y, from_s, scale.to_s) : '',
    future: row.future ? linePath(row.future, scale, y, now_s, scale.to_s) : '',
    futureBand: row.futureBand ? bandPath(row.futureBand[0], row.futureBand[1], scale, y, now_s, scale.to_s) : '',
    rings: ringPlaces(row, at, y),
    ahead: thresholdPlaces(row, at),
    held: heldPlaces(held.filter((each) => each.row === row.signal), at),
  };
}

/** Rings from the newest to the oldest; a label is left out where a newer one stands. */
function ringPlaces(row: RiverRow, { top, height, scale, right }: RowPlace, y: (value: number) => number): DrawnRow['rings'] {
  let free = Infinity;
  return row.rings
    .filter((ring) => ring.t_s >= scale.from_s && ring.t_s <= scale.to_s)
    .sort((a, b) => b.t_s - a.t_s)
    .map((ring) => {
      const x = scale.x(ring.t_s);
      const text = row.ringText(ring);
      const width = widthOf(text, 12.5) + 12;
      const hasText = x + width < free;
      if (hasText) free = x - 4;
      const at = ring.value ?? null;
      return { ring, x, y: at === null ? top + height / 2 : y(at), text: hasText ? text : '', flip: x + width > right };
    });
}

function thresholdPlaces(row: RiverRow, { scale, right, now_x, now_s }: RowPlace): DrawnRow['ahead'] {
  const ahead = row.thresholds
    .filter((each) => each.t_s > now_s && each.t_s <= scale.to_s)
    .map((each) => {
      const x = scale.x(each.t_s);
      const go = mss(each.t_s - now_s);
      // The row says what it is about, so a tight place is left with "below 90 in 2:10", a tighter one with the time.
      const words = [`${each.text} in ${go}`, `${each.text.replace(/^.*\b(?=(below|above) )/, '')} in ${go}`, go];
      for (const text of words) {
        const width = widthOf(text, 12.5, 600);
        if (x + width + 6 <= right + 10) return { x, text, width, flip: false, left: x };
        if (x - width - 6 >= now_x) return { x, text, width, flip: true, left: x - width - 6 };
      }
      return { x, text: go, width: widthOf(go, 12.5, 600), flip: false, left: x };
    });
  const levels = levelsFor(
    ahead.map((each) => ({ x: each.left, width: each.width })),
    2,
  );
  return ahead.map((each, k) => ({ ...each, level: levels[k] ?? -1 }));
}

/** Held stretches between the edges of the picture; the words where there is room for them. */
export function heldPlaces(held: readonly Held[], { scale }: { scale: TimeScale }): DrawnRow['held'] {
  return held
    .filter((each) => each.to_s > scale.from_s && each.from_s < scale.to_s)
    .map((each) => {
      const x = scale.x(Math.max(each.from_s, scale.from_s));
      const width = Math.max(2, scale.x(Math.min(each.to_s, scale.to_s)) - x);
      return { x, width, label: widthOf(each.label, 12) + 10 < width ? each.label : '' };
    });
}
