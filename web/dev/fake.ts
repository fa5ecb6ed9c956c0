/**
 * A stand-in for the server while the screens are worked on: `npm run dev -- --mode fake`.
 * It keeps no log, computes no patient and is never part of the build.
 */
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { Plugin } from 'vite';
import { WebSocketServer, type WebSocket } from 'ws';
import type { Command, CommandSent, LogLine, LookAhead, ParseAnswer, Ring, ServerMessage, Snapshot, Track } from '../src/lib/proto';
import * as answers from './answers.ts';
import { mindText, patientAt, SIGNALS, type Care } from './patient.ts';
import { waveFrame } from './waves.ts';

/** The fake begins six minutes in, so that there is something to look at. */
const START_S = Number(process.env['FAKE_START_S'] ?? 372);

class FakeRoom {
  clock_s = START_S;
  isRunning = true;
  isEnded = false;
  isEmergency = false;
  care: Care[] = [
    { t_s: 118, what: 'tourniquet' },
    { t_s: 151, what: 'oxygen' },
    { t_s: 320, what: 'fluid' },
  ];
  log: LogLine[] = [];
  rings: Ring[] = [];
  phase = 'at patient';
  entered: Record<string, number> = { dispatch: 0, 'en route': 18, 'on scene': 62, 'at patient': 88 };
  cues = answers.cues();
  setByHand = answers.setByHand();
  holds: Snapshot['holds'] = [];
  sensors = new Set(['finger probe', 'pressure cuff', 'ECG electrodes']);
  cuff = { state: 'idle' as 'idle' | 'inflating' | 'measuring' | 'failed', since: 0, text: '84/60', mean: '68', t_s: 295 as number | null };
  problems = answers.problems();
  seq = 0;

  constructor() {
    for (const [t, text, cut] of answers.pastLog()) this.say(t, text, cut);
    for (const ring of answers.pastRings()) this.rings.push(ring);
  }

  say(t_s: number, text: string, cut = '', kind = 'care given', typed = ''): LogLine {
    const line: LogLine = {
      seq: ++this.seq, t_s, kind, text, by: '', is_undone: false, is_late: false, is_cut: cut !== '', cut_label: cut,
      can_undo: kind === 'care given', action: kind === 'care given' ? { kind: 'other', text } : null, typed: typed || text, note: '',
    };
    this.log = [...this.log, line].sort((a, b) => a.t_s - b.t_s || a.seq - b.seq);
    return line;
  }

  tracks(from_s: number, to_s: number, dt_s = 1): Track[] {
    const out = SIGNALS.map((signal) => ({ signal: signal as string, t0_s: from_s, dt_s, values: [] as (number | null)[] }));
    for (let t = from_s; t <= to_s + 1e-6; t += dt_s) {
      const at = patientAt(t, this.care);
      SIGNALS.forEach((signal, i) => out[i]!.values.push(Math.round(at[signal] * 10) / 10));
    }
    return out;
  }

  numbers(): Snapshot['numbers'] {
    const at = patientAt(this.clock_s, this.care);
    const r = (x: number) => String(Math.round(x));
    const row = (signal: string, label: string, system: string, unit: string, value: number, text: string, sub: string, shown: string | null, low: number, high: number) => ({
      signal, label, system, unit, value, text, sub_text: sub, shown_text: shown, low, high,
      is_held: this.holds.some((hold) => hold.what === signal),
    });
    const on = (sensor: string, text: string) => (this.sensors.has(sensor) ? text : null);
    return [
      row('heart_rate_per_min', 'Heart rate', 'heart', '/min', at.heart_rate_per_min, r(at.heart_rate_per_min), '', on('ECG electrodes', r(at.heart_rate_per_min)), 0, 300),
      row('systolic_pressure_mmhg', 'Pressure', 'pressure', 'mmHg', at.systolic_pressure_mmhg, `${r(at.systolic_pressure_mmhg)}/${r(at.diastolic_pressure_mmhg)}`, `mean ${r(at.mean_arterial_pressure_mmhg)}`, on('pressure cuff', `${this.cuff.text}`), 0, 400),
      row('spo2_pct', 'SpO2', 'oxygen', '%', at.spo2_pct, r(at.spo2_pct), '', on('finger probe', r(patientAt(this.clock_s - 20, this.care).spo2_pct)), 0, 100),
      row('etco2_mmhg', 'Exhaled CO2', 'breath', 'mmHg', at.etco2_mmhg, r(at.etco2_mmhg), '', on('CO2 sampling line', r(at.etco2_mmhg)), 0, 250),
      row('respiratory_rate_per_min', 'Breathing rate', 'breath', '/min', at.respiratory_rate_per_min, r(at.respiratory_rate_per_min), '438 mL a breath', on('CO2 sampling line', r(at.respiratory_rate_per_min)), 0, 150),
      row('gcs_total', 'Mind', 'mind', '1', at.gcs_total, mindText(at.gcs_total), `GCS ${at.gcs_total}`, null, 3, 15),
      ...(process.env['FAKE_ROWS'] === '6' ? [] : [
        row('blood_lost_ml', 'Blood lost', 'fluid', 'mL', 820, '820', 'now 64 mL/min', null, 0, 3000),
        row('pleural_air_left_ml', 'Air in the left chest', 'breath', 'mL', 940, '940', '', null, 0, 3000),
      ]),
    ];
  }

  lookAhead(): LookAhead {
    const tracks = this.tracks(this.clock_s, this.clock_s + 600, 2);
    const thresholds: LookAhead['thresholds'] = [];
    const cross = (signal: (typeof SIGNALS)[number], limit: number, text: string) => {
      const now = patientAt(this.clock_s, this.care)[signal];
      for (let t = this.clock_s; t < this.clock_s + 600; t += 2)
        if (now >= limit && patientAt(t, this.care)[signal] < limit) return void thresholds.push({ signal, t_s: t, text });
    };
    cross('spo2_pct', 80, 'SpO2 below 80');
    cross('spo2_pct', 70, 'SpO2 below 70');
    cross('systolic_pressure_mmhg', 70, 'no radial pulse');
    cross('systolic_pressure_mmhg', 50, 'pressure below 50');
    cross('gcs_total', 9, 'unconscious');
    cross('heart_rate_per_min', 20, 'arrest');
    return { type: 'look_ahead', from_s: this.clock_s, tracks, thresholds };
  }

  monitor(): Snapshot['monitor'] {
    const at = patientAt(this.clock_s - 12, this.care);
    const on = (sensor: string, value: number) => (this.sensors.has(sensor) ? String(Math.round(value)) : null);
    const age = this.clock_s - this.cuff.since;
    return {
      sensors: ['ECG electrodes', 'finger probe', 'CO2 sampling line', 'pressure cuff', 'temperature probe'].map((sensor) => ({
        sensor, is_on: this.sensors.has(sensor), site: sensor === 'pressure cuff' ? 'left arm' : sensor === 'finger probe' ? 'right hand' : '',
      })),
      heart_rate: on('ECG electrodes', at.heart_rate_per_min),
      spo2: on('finger probe', at.spo2_pct),
      etco2: on('CO2 sampling line', at.etco2_mmhg),
      respiratory_rate: on('CO2 sampling line', at.respiratory_rate_per_min),
      temperature: null,
      cuff_text: this.cuff.t_s === null ? null : this.cuff.text,
      cuff_mean: this.cuff.mean,
      cuff_t_s: this.cuff.t_s,
      cuff_state: this.cuff.state,
      cuff_cycle_s: 300,
      cuff_next_s: this.cuff.t_s === null ? null : this.cuff.t_s + 300,
      pressure_unit: 'mmHg', gas_tension_unit: 'mmHg', temperature_unit: '°C',
      cuff_pressure_mmhg: this.cuff.state === 'inflating' ? Math.min(160, age * 32) : this.cuff.state === 'measuring' ? Math.max(0, 160 - (age - 5) * 5 + Math.sin(age * 13) * 1.6) : null,
      alarms: [
        ...(this.sensors.has('finger probe') && at.spo2_pct < 85 ? ['!!! SpO2 below 85'] : []),
        ...(at.heart_rate_per_min > 130 ? ['!! Heart rate above 130'] : []),
      ],
    };
  }

  run(): Snapshot['run'] {
    return {
      run_id: 'r-0031', room: 'bay-1', title: 'Tractor roll-over', scenario: 'c8-tractor', manikin: 'adult manikin B', crew_text: 'crew of 3', purpose: 'rehearsal',
      is_running: this.isRunning, is_ended: this.isEnded, outcome: this.isEnded ? 'alive' : null, stop_word: 'Stop, stop, stop', emergency_word: 'Real emergency',
      time_jumps_min: [5], time_cap_s: 1080, dispatch: 'Tractor on its side, one man under the wheel, awake.', patient_text: 'Man of 38, 88 kg',
      recovered_text: '', good_t_s: null, fault_text: '',
    };
  }

  phases(): Snapshot['phases'] {
    return ['dispatch', 'en route', 'on scene', 'at patient', 'leaving scene', 'report', 'handover', 'end'].map((name, i) => ({
      key: String(i + 1), name, entered_t_s: this.entered[name] ?? null, is_current: name === this.phase,
    }));
  }

  snapshot(screen: string): Snapshot {
    const isControl = screen !== 'monitor';
    return {
      type: 'snapshot', server_id: 'fake', clock_s: this.clock_s, run: this.run(), phases: isControl ? this.phases() : [],
      numbers: isControl ? this.numbers() : [], tracks: isControl ? this.tracks(0, this.clock_s) : [], rings: isControl ? this.rings : [],
      log: isControl ? this.log : [], cues: isControl ? this.cues : [], set_by_hand: isControl ? this.setByHand : [], supply: isControl ? answers.supply() : [],
      problems: isControl ? this.problems : [], holds: isControl ? this.holds : [], holdables: isControl ? answers.holdables() : [], answers: isControl ? answers.spoken() : [], notices: [],
      look_ahead: isControl ? this.lookAhead() : null, monitor: this.monitor(), training_mark: 'Training only. Not for the care of patients.',
    };
  }

  /** What a command does; a sentence where it is refused. */
  take(command: Command): { refused?: string; needsConfirmation?: boolean; text?: string; again?: boolean } {
    const t = this.clock_s;
    switch (command.do) {
      case 'enter': {
        const read = answers.parse(command.typed, t);
        if (!read.answer.is_complete) return { refused: read.answer.question || read.answer.warning || 'That cannot be read.' };
        if (read.answer.needs_confirmation && !command.confirmed) return { refused: read.answer.warning, needsConfirmation: true };
        if (command.typed === 'cuff') {
          if (!this.sensors.has('pressure cuff')) return { refused: 'No cuff is on the patient: attach it first ("cuff on l arm").' };
          this.cuff = { ...this.cuff, state: 'inflating', since: t };
        }
        if (read.sensor) this.sensors.add(read.sensor);
        if (read.care) this.care = [...this.care, { t_s: read.late ?? t, what: read.care }].sort((a, b) => a.t_s - b.t_s);
        const line = this.say(read.late ?? t, read.answer.echo, read.cut, 'care given', command.typed);
        line.is_late = read.late !== null;
        return { text: read.answer.echo };
      }
      case 'phase':
        this.phase = command.phase;
        this.entered[command.phase] = t;
        this.say(t, `Phase: ${command.phase}`, '', 'phase entered');
        if (command.phase === 'end') this.isEnded = true;
        return {};
      case 'cue': {
        const cue = this.cues.find((each) => each.id === command.id);
        this.cues = this.cues.filter((each) => each !== cue).map((each, i) => ({ ...each, key: `F${i + 1}` }));
        this.say(t, `Told: “${cue?.words}”`, '', 'cue given');
        return {};
      }
      case 'set':
        this.setByHand = this.setByHand.filter((each) => each.finding !== command.finding);
        this.say(t, `Manikin set: ${command.finding} ${command.setting}`, '', 'manikin set');
        return {};
      case 'supply':
        this.say(t, `${command.finding}: ${command.how}`, '', 'finding obtained');
        return {};
      case 'ask':
        this.say(t, `Asked for ${command.finding}`, '', 'finding asked');
        return {};
      case 'undo': {
        const line = command.seq ? this.log.find((each) => each.seq === command.seq) : [...this.log].sort((a, b) => b.seq - a.seq).find((each) => each.can_undo && !each.is_undone);
        if (!line) return { refused: 'Nothing can be taken back.' };
        this.log = this.log.map((each) => (each === line ? { ...each, is_undone: true, can_undo: false } : each));
        this.care = this.care.filter((each) => Math.abs(each.t_s - line.t_s) > 1);
        return { again: true };
      }
      case 'correct':
        this.log = this.log.map((each) => (each.seq === command.seq ? { ...each, text: answers.parse(command.typed, t).answer.echo, typed: command.typed } : each));
        return {};
      case 'hold': {
        const what = answers.holdables().find((each) => each.what === command.what);
        this.holds = [...this.holds.filter((each) => each.what !== command.what), { what: command.what, label: what?.label ?? command.what, value: command.value, unit: what?.unit ?? '', kind: what?.kind ?? 'effector', display_only: command.display_only, is_releasing: false, by: command.by ?? '', actual_text: '', doing: '', is_at_limit: false }];
        return {};
      }
      case 'release':
        this.holds = this.holds.filter((each) => each.what !== command.what);
        return {};
      case 'end problem':
        this.problems = this.problems.map((each) => (each.name === command.name ? { ...each, is_ended: true } : each));
        return {};
      case 'change problem':
        this.problems = this.problems.map((each) => (each.name === command.name ? { ...each, size: command.size, size_text: `${command.size} ${each.size_unit}` } : each));
        return {};
      case 'pause':
      case 'resume':
        this.isRunning = command.do === 'resume';
        this.say(t, command.do === 'pause' ? 'Paused' : 'Went on', '', command.do === 'pause' ? 'paused' : 'resumed');
        return {};
      case 'jump':
        this.clock_s += command.minutes * 60;
        this.say(this.clock_s, `Time jump: ${command.minutes} min`, '', 'time jumped');
        return { again: true };
      case 'note':
        if (command.seq) this.log = this.log.map((each) => (each.seq === command.seq ? { ...each, note: command.text } : each));
        else this.say(t, `Note: ${command.text}`, '', 'note written');
        return {};
      case 'stop word':
      case 'real emergency':
        this.isRunning = false;
        this.say(t, command.do === 'stop word' ? 'Stop word said' : 'Real emergency', '', command.do === 'stop word' ? 'stop word said' : 'real emergency');
        return {};
      case 'end':
        this.isEnded = true;
        this.isRunning = false;
        this.say(t, `Run ended: ${command.reason}`, '', 'run ended');
        return {};
      default:
        return {};
    }
  }

  tick(): void {
    if (!this.isRunning) return;
    this.clock_s += 0.25;
    const age = this.clock_s - this.cuff.since;
    if (this.cuff.state === 'inflating' && age > 5) this.cuff.state = 'measuring';
    if (this.cuff.state === 'measuring' && age > 28) {
      const at = patientAt(this.clock_s, this.care);
      const text = `${Math.round(at.systolic_pressure_mmhg)}/${Math.round(at.diastolic_pressure_mmhg)}`;
      this.cuff = { state: 'idle', since: 0, text, mean: String(Math.round(at.mean_arterial_pressure_mmhg)), t_s: this.clock_s };
      this.rings = [...this.rings, { t_s: this.clock_s, signal: 'systolic_pressure_mmhg', value: at.systolic_pressure_mmhg, text, how: 'room monitor' }];
      this.say(this.clock_s, `Cuff ${text}`, '', 'finding obtained');
    }
  }
}

let room = new FakeRoom();

function attach(server: Server): void {
  const sockets = new WebSocketServer({ noServer: true });
  const open = new Map<WebSocket, { screen: string; log: unknown; tail_s: number }>();
  let index = 0;
  server.on('upgrade', (request, socket, head) => {
    if (!request.url?.startsWith('/ws/room/')) return;
    sockets.handleUpgrade(request, socket, head, (ws) => {
      const screen = new URL(request.url!, 'http://x').searchParams.get('screen') ?? 'control';
      open.set(ws, { screen, log: null, tail_s: room.clock_s });
      send(ws, room.snapshot(screen));
      ws.on('close', () => open.delete(ws));
      ws.on('message', (raw) => {
        const sent = JSON.parse(String(raw)) as CommandSent;
        if (sent.command.do === 'start again') {
          room = new FakeRoom();
          for (const each of open.keys()) send(each, room.snapshot(open.get(each)!.screen));
          send(ws, { type: 'ack', client_id: sent.client_id, seq: 1, text: '' });
          return;
        }
        const got = room.take(sent.command);
        if (got.refused) send(ws, { type: 'refused', client_id: sent.client_id, sentence: got.refused, needs_confirmation: got.needsConfirmation ?? false, suggestions: [] });
        else send(ws, { type: 'ack', client_id: sent.client_id, seq: room.seq, text: got.text ?? '' });
        if (got.again) for (const [each, state] of open) send(each, room.snapshot(state.screen));
      });
    });
  });
  const send = (ws: WebSocket, message: ServerMessage) => ws.readyState === 1 && ws.send(JSON.stringify(message));
  let beat = 0;
  const timers = [
    setInterval(() => {
      room.tick();
      beat++;
      for (const [ws, state] of open) {
        const isControl = state.screen !== 'monitor';
        const to_s = Math.floor(room.clock_s);
        send(ws, {
          type: 'delta', clock_s: room.clock_s, run: room.run(), phases: isControl ? room.phases() : null, numbers: isControl ? room.numbers() : null,
          track_tail: isControl && to_s > state.tail_s ? room.tracks(to_s, to_s) : [], rings: isControl ? room.rings : null,
          log: isControl && state.log !== room.log ? room.log : null, cues: isControl ? room.cues : null, set_by_hand: isControl ? room.setByHand : null, supply: null,
          problems: isControl ? room.problems : null, holds: isControl ? room.holds : null, answers: null, notices: null, monitor: room.monitor(),
        });
        state.log = room.log;
        state.tail_s = to_s;
        if (isControl && beat % 12 === 0) send(ws, room.lookAhead());
      }
    }, 250),
    setInterval(() => {
      const at = patientAt(room.clock_s, room.care);
      if (room.isRunning) {
        const frame = waveFrame(index, 25, at.heart_rate_per_min, at.respiratory_rate_per_min, at.etco2_mmhg, room.sensors);
        index += 25;
        for (const [ws, state] of open) if (state.screen === 'monitor') ws.send(frame);
      }
    }, 100),
  ];
  server.on('close', () => timers.forEach(clearInterval));
}

async function body(request: IncomingMessage): Promise<unknown> {
  let text = '';
  for await (const chunk of request) text += String(chunk);
  return text ? JSON.parse(text) : null;
}

async function respond(request: IncomingMessage, response: ServerResponse, next: () => void): Promise<void> {
  const url = new URL(request.url ?? '/', 'http://x');
  if (/^\/(control|monitor|debrief|sheet|settings)(\/|$)/.test(url.pathname)) {
    request.url = '/index.html';
    return next();
  }
  if (!url.pathname.startsWith('/api/')) return next();
  const reply = (what: unknown, status = 200) => {
    response.writeHead(status, { 'content-type': 'application/json' });
    response.end(JSON.stringify(what));
  };
  const asked = request.method === 'GET' ? null : await body(request);
  if (url.pathname.endsWith('/parse')) return reply(answers.parse((asked as { typed: string }).typed, room.clock_s).answer satisfies ParseAnswer);
  if (url.pathname.endsWith('/run-sheet')) return reply(answers.runSheet(room.clock_s, room.care));
  const got = answers.json(request.method ?? 'GET', url, asked);
  if (got) return reply(got.body, got.status);
  reply({ sentence: `The fake server has no ${url.pathname}.`, faults: [] }, 404);
}

export function fakeServer(): Plugin {
  return {
    name: 'fake-server',
    configureServer(server) {
      if (server.httpServer) attach(server.httpServer as Server);
      server.middlewares.use((request, response, next) => void respond(request, response, next));
    },
  };
}
