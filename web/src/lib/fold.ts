import type { Delta, Snapshot, Track } from './proto';

/** Seconds of every track that a live screen keeps: the ten minutes it draws and a little more. */
export const KEPT_S = 660;

/** A track with `tail` written over its end. Equal spacing is kept; what is missing between is null. */
export function withTail(track: Track, tail: Track, kept_s = KEPT_S): Track {
  if (tail.values.length === 0) return track;
  if (tail.dt_s !== track.dt_s || track.values.length === 0) return tail;
  const first = Math.round((tail.t0_s - track.t0_s) / track.dt_s);
  if (first < 0) return tail;
  const values = track.values.slice(0, first);
  while (values.length < first) values.push(null);
  values.push(...tail.values);
  const surplus = Math.max(0, values.length - Math.ceil(kept_s / track.dt_s));
  return {
    ...track,
    t0_s: track.t0_s + surplus * track.dt_s,
    values: surplus > 0 ? values.slice(surplus) : values,
  };
}

/** The next snapshot: the last one and what changed. Absent parts are the same objects as before. */
export function apply(last: Snapshot, delta: Delta): Snapshot {
  let tracks = last.tracks;
  if (delta.track_tail.length > 0) {
    const tails = new Map(delta.track_tail.map((tail) => [tail.signal, tail]));
    tracks = last.tracks.map((track) => {
      const tail = tails.get(track.signal);
      tails.delete(track.signal);
      return tail ? withTail(track, tail) : track;
    });
    tracks.push(...tails.values());
  }
  return {
    ...last,
    clock_s: delta.clock_s,
    run: delta.run ?? last.run,
    phases: delta.phases ?? last.phases,
    numbers: delta.numbers ?? last.numbers,
    tracks,
    rings: delta.rings ?? last.rings,
    log: delta.log ?? last.log,
    cues: delta.cues ?? last.cues,
    set_by_hand: delta.set_by_hand ?? last.set_by_hand,
    supply: delta.supply ?? last.supply,
    problems: delta.problems ?? last.problems,
    holds: delta.holds ?? last.holds,
    answers: delta.answers ?? last.answers,
    notices: delta.notices ?? last.notices,
    monitor: delta.monitor ?? last.monitor,
  };
}
