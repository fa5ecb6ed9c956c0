/** An invented patient for work on the screens: plausible curves, no physiology. Never part of the build. */

export interface Care {
  t_s: number;
  what: 'tourniquet' | 'oxygen' | 'needle' | 'fluid' | 'txa';
}

export const SIGNALS = [
  'heart_rate_per_min',
  'systolic_pressure_mmhg',
  'diastolic_pressure_mmhg',
  'mean_arterial_pressure_mmhg',
  'spo2_pct',
  'etco2_mmhg',
  'respiratory_rate_per_min',
  'gcs_total',
] as const;
export type Values = Record<(typeof SIGNALS)[number], number>;

const clamp = (x: number, low: number, high: number) => Math.max(low, Math.min(high, x));

export function patientAt(t_s: number, care: readonly Care[]): Values {
  const first = (what: Care['what']) => care.find((each) => each.what === what && each.t_s <= t_s)?.t_s ?? Infinity;
  const bleeding_s = Math.min(t_s, first('tourniquet')) + 60;
  const needle = first('needle');
  const tension_s = t_s < needle ? t_s : Math.max(0, needle - (t_s - needle) * 6);
  const given = t_s > first('fluid') ? clamp((t_s - first('fluid')) / 240, 0, 1) * 10 : 0;
  const o2 = t_s > first('oxygen') ? clamp((t_s - first('oxygen')) / 60, 0, 1) * 4 : 0;
  const loss = bleeding_s / 60;
  const press = tension_s / 60;
  const mean = clamp(84 - 2.6 * loss - 1.1 * press ** 1.35 + given, 12, 120);
  const wave = Math.sin(t_s / 7) * 0.8 + Math.sin(t_s / 2.3) * 0.3;
  const spo2 = clamp(97 - 1.35 * press ** 1.28 + o2 + wave * 0.3, 42, 100);
  const gcs = mean > 58 ? 15 : mean > 52 ? 14 : mean > 46 ? 13 : mean > 38 ? 10 : mean > 30 ? 7 : 3;
  const rate = mean < 24 ? clamp(mean * 4 - 40, 0, 150) : clamp(92 + 4.1 * loss + 2.8 * press - given, 60, 168);
  return {
    heart_rate_per_min: rate + wave,
    systolic_pressure_mmhg: mean * 1.28 + wave,
    diastolic_pressure_mmhg: mean * 0.82 + wave * 0.6,
    mean_arterial_pressure_mmhg: mean,
    spo2_pct: spo2,
    etco2_mmhg: clamp(37 - 1.3 * press - 0.6 * loss + given * 0.4 + wave * 0.4, 4, 60),
    respiratory_rate_per_min: clamp(18 + 1.5 * press + 0.8 * loss, 4, 44),
    gcs_total: gcs,
  };
}

export const mindText = (gcs: number): string =>
  ({ 15: 'E4 V5 M6', 14: 'E4 V4 M6', 13: 'E3 V4 M6', 10: 'E2 V3 M5', 7: 'E1 V2 M4', 3: 'E1 V1 M1' })[gcs] ?? 'E1 V1 M1';
