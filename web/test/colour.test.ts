import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/** Colours of one theme out of tokens.css. */
function theme(selector: string): Record<string, [number, number, number]> {
  const css = readFileSync(new URL('../src/lib/tokens.css', import.meta.url), 'utf8');
  const block = css.slice(css.indexOf(`${selector} {`));
  const colours: Record<string, [number, number, number]> = {};
  for (const [, name, hex] of block.slice(0, block.indexOf('}')).matchAll(/--([a-z]+): #([0-9a-f]{6});/g))
    colours[name!] = [0, 2, 4].map((at) => parseInt(hex!.slice(at, at + 2), 16) / 255) as [number, number, number];
  return colours;
}

// Relative luminance and contrast as in WCAG 2.2 (W3C Recommendation, 12 December 2024), definitions.
const linear = (c: number) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
const luminance = (rgb: number[]) => 0.2126 * linear(rgb[0]!) + 0.7152 * linear(rgb[1]!) + 0.0722 * linear(rgb[2]!);
function contrast(a: number[], b: number[]): number {
  const [high, low] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const TEXT = ['ink', 'soft', 'now', 'heart', 'pressure', 'oxygen', 'breath', 'mind', 'skin', 'told', 'ok'];
const HUES = ['heart', 'pressure', 'oxygen', 'breath', 'mind'];

it('measures contrast as the standard does', () => {
  expect(contrast([0, 0, 0], [1, 1, 1])).toBeCloseTo(21, 6); // black on white, the largest there is
  expect(contrast([0x77 / 255, 0x77 / 255, 0x77 / 255], [1, 1, 1])).toBeCloseTo(4.48, 2); // #777 on white just fails
});

describe.each([['light', ':root'], ['dark', ":root[data-theme='dark']"]])('the %s theme', (_, selector) => {
  const colours = theme(selector);

  it.each(TEXT)('%s is readable as text on every ground', (name) => {
    for (const ground of ['paper', 'sheet', 'well']) expect(contrast(colours[name]!, colours[ground]!)).toBeGreaterThanOrEqual(4.5);
  });

  it('focus rings and the edges of fields can be seen', () => {
    // 3:1 for parts of controls: WCAG 2.2, 1.4.11
    for (const name of ['focus', 'edge']) expect(contrast(colours[name]!, colours['sheet']!)).toBeGreaterThanOrEqual(3);
  });

  it('hues of the systems stay apart for every eye', () => {
    for (const [eye, matrix] of Object.entries(EYES))
      for (const [i, a] of HUES.entries())
        for (const b of HUES.slice(i + 1))
          expect(distance(seen(colours[a]!, matrix), seen(colours[b]!, matrix)), `${eye}: ${a} and ${b}`).toBeGreaterThan(10);
  });
});

/**
 * Full dichromacy in linear RGB: Machado, Oliveira, Fernandes, A physiologically-based model for simulation of color
 * vision deficiency, IEEE Trans Vis Comput Graph 2009;15:1291-8, table of severity 1.0 (coefficients from memory).
 */
const EYES: Record<string, number[][]> = {
  'trichromat': [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
  'protanope': [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  'deuteranope': [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
};

function seen(rgb: number[], matrix: number[][]): number[] {
  const light = rgb.map(linear);
  return matrix.map((row) => Math.min(1, Math.max(0, row[0]! * light[0]! + row[1]! * light[1]! + row[2]! * light[2]!)));
}

/** Difference of two colours given in linear RGB: CIE 1976 L*a*b*, D65 (CIE 015). */
function distance(a: number[], b: number[]): number {
  const [p, q] = [lab(a), lab(b)];
  return Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!, p[2]! - q[2]!);
}
function lab([r, g, b]: number[]): number[] {
  const xyz = [
    (0.4124 * r! + 0.3576 * g! + 0.1805 * b!) / 0.95047,
    0.2126 * r! + 0.7152 * g! + 0.0722 * b!,
    (0.0193 * r! + 0.1192 * g! + 0.9505 * b!) / 1.08883,
  ].map((t) => (t > 216 / 24389 ? Math.cbrt(t) : (t * 24389) / 27 / 116 + 16 / 116));
  return [116 * xyz[1]! - 16, 500 * (xyz[0]! - xyz[1]!), 200 * (xyz[1]! - xyz[2]!)];
}
