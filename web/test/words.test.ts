import { describe, expect, it } from 'vitest';
import { alarmsOf } from '../src/lib/alarms';
import { differences, shownValue } from '../src/lib/differences';
import { withEmphasis } from '../src/lib/emphasis';
import { newId } from '../src/lib/ids';
import { shortNumber, stepFor } from '../src/lib/numbers';
import type { AxisView, Track } from '../src/lib/proto';
import { clockText, mss, secondsFromText } from '../src/lib/time';
import { capital } from '../src/lib/words';

describe('times', () => {
  it.each([[0, '0:00'], [59.9, '0:59'], [372, '6:12'], [3720, '62:00'], [-30, '−0:30']])('%s s reads %s', (t_s, text) => expect(mss(t_s)).toBe(text));
  it('the clock keeps its width', () => expect([clockText(5), clockText(372), clockText(720)]).toEqual(['00:05', '06:12', '12:00']));
  it.each([['6:12', 372], ['2', 120], ['2.5 min', 150], ['6:72', null], ['soon', null], ['', null]])('"%s" is %s s', (text, t_s) => expect(secondsFromText(text)).toBe(t_s));
});

describe('emphasis', () => {
  it('gives weight to whole words only', () => {
    expect(withEmphasis('Give 0.3 mg IM, in 10.3 min', ['0.3 mg', 'IM']).filter((part) => part.strong).map((part) => part.text)).toEqual(['0.3 mg', 'IM']);
  });
  it('keeps every character', () => {
    const text = 'Decompress the left chest (left).';
    expect(withEmphasis(text, ['left', '(']).map((part) => part.text).join('')).toBe(text);
  });
  it('has nothing to split in an empty sentence', () => expect(withEmphasis('', ['left'])).toEqual([]));
});

it('alarms: highest priority first, mark taken off', () => {
  expect(alarmsOf(['! probe finds no pulse', '!!! SpO2 low', '!! heart rate high'])).toEqual([
    { priority: 'high', text: 'SpO2 low' },
    { priority: 'medium', text: 'heart rate high' },
    { priority: 'low', text: 'probe finds no pulse' },
  ]);
});

it('ids are long and do not repeat', () => {
  const ids = new Set(Array.from({ length: 500 }, newId));
  expect(ids.size).toBe(500);
  expect([...ids].every((id) => /^[0-9a-f]{24}$/.test(id))).toBe(true);
});

it('numbers are short and steps round', () => {
  expect([180, 2.5, 0.333333, 12.34].map(shortNumber)).toEqual(['180', '2.5', '0.333', '12.3']);
  expect([stepFor(0, 600), stepFor(0, 1), stepFor(3, 3)]).toEqual([5, 0.01, 1]);
});

describe('differences of a what-if', () => {
  const axis = (signal: string, more: Partial<AxisView> = {}): AxisView => ({ signal, label: signal, system: 'oxygen', unit: '%', factor: 1, offset: 0, low: 0, high: 100, decimals: 0, ...more });
  const track = (signal: string, values: (number | null)[]): Track => ({ signal, t0_s: 0, dt_s: 1, values });

  it('name the lowest, the highest and the last value, after the two part', () => {
    const got = differences([axis('spo2_pct')], [track('spo2_pct', [10, 95, 90, 92])], [track('spo2_pct', [10, 95, 71, 80])], 1);
    expect(got.map((each) => [each.which, each.was, each.is])).toEqual([['lowest', '90', '71'], ['at the end', '92', '80']]);
  });
  it('pass over noise and rows that are not there', () => {
    expect(differences([axis('spo2_pct'), axis('x')], [track('spo2_pct', [95])], [track('spo2_pct', [95.5])], 0)).toEqual([]);
  });
  it('are written in the unit of the lab', () => {
    const kpa = axis('systolic_pressure_mmhg', { unit: 'kPa', factor: 0.133322387415, decimals: 1 });
    expect(shownValue(kpa, 120)).toBe('16.0'); // 120 mmHg = 15.999 kPa (1 mmHg = 133.322 Pa, BIPM SI brochure, 8th ed. 2006)
  });
});

it('begins a line as a sentence begins, and leaves units and signs alone', () => {
  expect(['at patient', 'pH 7.21', 'mL given', 'SpO2', '91/82', ''].map(capital)).toEqual(['At patient', 'pH 7.21', 'mL given', 'SpO2', '91/82', '']);
});
