/** Waves for the fake room: shapes only. */
const g = (x: number, m: number, s: number, a: number) => a * Math.exp(-((x - m) ** 2) / (2 * s * s));
let beat = 0;
let breath = 0;

export function waveFrame(index: number, n: number, heart: number, breaths: number, etco2: number, sensors: Set<string>): Buffer {
  const waves: { code: number; samples: number[] }[] = [];
  const ecg: number[] = [];
  const start = beat;
  const startBreath = breath;
  for (let i = 0; i < n; i++) {
    beat = (beat + heart / 60 / 250) % 1;
    breath = (breath + breaths / 60 / 250) % 1;
    ecg.push(g(beat, 0.18, 0.025, 0.14) + g(beat, 0.3, 0.008, -0.12) + g(beat, 0.325, 0.01, 1.05) + g(beat, 0.352, 0.009, -0.22) + g(beat, 0.56, 0.05, 0.24));
  }
  if (sensors.has('ECG electrodes')) waves.push({ code: 1, samples: ecg });
  const slow = (make: (beatAt: number, breathAt: number) => number) =>
    Array.from({ length: (n * 100) / 250 }, (_, i) => make((start + (i * heart) / 60 / 100) % 1, (startBreath + (i * breaths) / 60 / 100) % 1));
  if (sensors.has('finger probe')) waves.push({ code: 2, samples: slow((b) => g(b, 0.5, 0.09, 0.62) + g(b, 0.75, 0.1, 0.26)) });
  if (sensors.has('CO2 sampling line'))
    waves.push({ code: 3, samples: slow((_, b) => (b < 0.4 ? 0 : b < 0.46 ? (etco2 * 0.9 * (b - 0.4)) / 0.06 : b < 0.9 ? etco2 * (0.9 + 0.1 * ((b - 0.46) / 0.44)) : Math.max(0, etco2 * (1 - (b - 0.9) / 0.05)))) });
  const size = 8 + waves.reduce((sum, wave) => sum + 3 + 4 * wave.samples.length, 0);
  const frame = Buffer.alloc(size);
  frame.writeUInt8(1, 0);
  frame.writeUInt8(waves.length, 1);
  frame.writeUInt16LE(250, 2);
  frame.writeUInt32LE(index, 4);
  let at = 8;
  for (const { code, samples } of waves) {
    frame.writeUInt8(code, at);
    frame.writeUInt16LE(samples.length, at + 1);
    at += 3;
    for (const sample of samples) at = frame.writeFloatLE(sample, at);
  }
  return frame;
}
