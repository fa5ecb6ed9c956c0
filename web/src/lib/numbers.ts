/** A number as short as it can be read: at most three figures after the point are kept, trailing noughts go. */
export function shortNumber(value: number): string {
  const size = Math.abs(value);
  const decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return String(Number(value.toFixed(decimals)));
}

/** A step for a slider between two values: about a hundredth of the way, in 1, 2 or 5. */
export function stepFor(low: number, high: number): number {
  const rough = (high - low) / 100;
  if (!(rough > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(rough));
  const share = rough / power;
  const step = (share >= 5 ? 5 : share >= 2 ? 2 : 1) * power;
  return Number(step.toPrecision(1));
}
