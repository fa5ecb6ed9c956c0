/** `m:ss` from seconds; minutes run on past 60. A time before zero has a minus sign. */
export function mss(t_s: number): string {
  const whole = Math.floor(Math.abs(t_s));
  const minutes = Math.floor(whole / 60);
  return `${t_s < 0 && whole > 0 ? '−' : ''}${minutes}:${String(whole % 60).padStart(2, '0')}`;
}

/** The clock of a run: always two figures for the minutes, so that its width keeps still. */
export function clockText(t_s: number): string {
  const text = mss(t_s);
  return /^\d:/.test(text) ? `0${text}` : text;
}

/** Seconds from `m:ss` or from minutes ("2.5"); null where it is neither. */
export function secondsFromText(text: string): number | null {
  const parts = /^\s*(\d{1,3}):([0-5]?\d)\s*$/.exec(text);
  if (parts) return Number(parts[1]) * 60 + Number(parts[2]);
  const minutes = /^\s*(\d{1,3}(?:\.\d+)?)\s*(?:min)?\s*$/.exec(text);
  return minutes ? Math.round(Number(minutes[1]) * 60) : null;
}

/** How long ago, in words short enough for a card. */
export function agoText(span_s: number): string {
  if (span_s < 10) return 'just now';
  if (span_s < 60) return `${Math.floor(span_s / 10) * 10} s ago`;
  return `${Math.floor(span_s / 60)} min ago`;
}
