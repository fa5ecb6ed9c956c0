// @vitest-environment jsdom
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { AGE_LIMIT_MS, Live, QUIET_MS, socketUrl, type Outcome } from '../src/lib/live.svelte';
import type { CommandSent } from '../src/lib/proto';
import { FakeSocket, run, snapshot } from './helpers';

let live: Live;
let random = 1;

const newest = () => FakeSocket.all.at(-1)!;
const sentBy = (socket: FakeSocket) => socket.sent.map((text) => JSON.parse(text) as CommandSent);
function welcome(more = {}) {
  newest().open();
  newest().say(snapshot({ run, ...more }));
}

beforeEach(() => {
  vi.useFakeTimers();
  FakeSocket.all = [];
  random = 1;
  live = new Live('ws://x/ws/room/bay-1', {
    socket: (url) => new FakeSocket(url) as unknown as WebSocket,
    now_ms: () => Date.now(),
    random: () => random,
  });
});
afterEach(() => {
  live.close();
  vi.useRealTimers();
});

describe('the link', () => {
  it('is live only when a snapshot has come', () => {
    newest().open();
    expect(live.link).toBe('connecting');
    welcome();
    expect(live.link).toBe('live');
    expect(live.snapshot?.clock_s).toBe(100);
  });

  it('backs off from 0.2 s to 2 s and starts short again after a good link', () => {
    const waits: number[] = [];
    for (let i = 0; i < 6; i++) {
      const before = FakeSocket.all.length;
      newest().drop();
      let waited = 0;
      while (FakeSocket.all.length === before && waited < 5000) {
        vi.advanceTimersByTime(50);
        waited += 50;
      }
      waits.push(waited);
    }
    expect(waits).toEqual([200, 400, 800, 1600, 2000, 2000]);
    welcome();
    const before = FakeSocket.all.length;
    newest().drop();
    vi.advanceTimersByTime(200);
    expect(FakeSocket.all.length).toBe(before + 1);
  });

  it('jitters down to half of the wait', () => {
    random = 0;
    newest().drop();
    vi.advanceTimersByTime(99);
    expect(FakeSocket.all.length).toBe(1);
    vi.advanceTimersByTime(2);
    expect(FakeSocket.all.length).toBe(2);
  });

  it('says so when a running room has no news, and not when it is paused', () => {
    welcome();
    vi.advanceTimersByTime(QUIET_MS + 500);
    expect(live.link).toBe('quiet');
    newest().say({ type: 'delta', clock_s: 101, run: { ...run, is_running: false }, phases: null, numbers: null, track_tail: [], rings: null, log: null, cues: null, set_by_hand: null, supply: null, problems: null, holds: null, answers: null, notices: null, monitor: null });
    vi.advanceTimersByTime(QUIET_MS + 500);
    expect(live.link).toBe('live');
  });

  it('hands binary frames on', () => {
    const frames: ArrayBuffer[] = [];
    live.onFrame = (frame) => frames.push(frame);
    welcome();
    newest().say(new ArrayBuffer(8));
    expect(frames.length).toBe(1);
  });
});

describe('an action', () => {
  it('waits until it is acknowledged', async () => {
    welcome();
    const fate = live.send({ do: 'pause' }, 'Pause');
    expect(live.waiting.map((each) => each.label)).toEqual(['Pause']);
    const [sent] = sentBy(newest());
    expect(sent!.command).toEqual({ do: 'pause' });
    expect(sent!.client_id).toMatch(/^[0-9a-f]{24}$/);
    newest().say({ type: 'ack', client_id: sent!.client_id, seq: 7, text: 'Paused' });
    expect(live.waiting).toEqual([]);
    expect(await fate).toEqual({ kind: 'ack', seq: 7, text: 'Paused' });
  });

  it('comes back with the sentence when it is refused', async () => {
    welcome();
    const fate = live.send({ do: 'enter', typed: 'epi 30 im' }, 'epi');
    newest().say({ type: 'refused', client_id: sentBy(newest())[0]!.client_id, sentence: '30 mg is too much.', needs_confirmation: true, suggestions: [] });
    expect(await fate).toMatchObject({ kind: 'refused', sentence: '30 mg is too much.', needs_confirmation: true });
  });

  it('made while the link is away goes out with its age and the same id after the snapshot', () => {
    welcome();
    newest().drop();
    void live.send({ do: 'enter', typed: 'shock 200' }, 'shock');
    vi.advanceTimersByTime(1000);
    newest().open();
    expect(sentBy(newest())).toEqual([]);
    welcome();
    const [sent] = sentBy(newest());
    expect(sent!.command).toEqual({ do: 'enter', typed: 'shock 200' });
    expect(sent!.age_ms).toBe(1000);
    const id = sent!.client_id;
    newest().drop();
    vi.advanceTimersByTime(300);
    welcome();
    expect(sentBy(newest())[0]!.client_id).toBe(id);
  });

  it('older than five seconds is never sent, and says that nothing was done', async () => {
    welcome();
    newest().drop();
    let fate: Outcome | null = null;
    void live.send({ do: 'enter', typed: 'shock 200' }, 'shock').then((outcome) => (fate = outcome));
    await vi.advanceTimersByTimeAsync(AGE_LIMIT_MS + 300);
    expect(fate).toMatchObject({ kind: 'expired', was_sent: false });
    welcome();
    expect(sentBy(newest())).toEqual([]);
    expect(live.waiting).toEqual([]);
  });

  it('sent but not confirmed says that it may be in the log', async () => {
    welcome();
    const fate = live.send({ do: 'stop word' }, 'Stop word');
    await vi.advanceTimersByTimeAsync(AGE_LIMIT_MS + 300);
    const outcome = await fate;
    expect(outcome).toMatchObject({ kind: 'expired', was_sent: true });
    expect((outcome as { sentence: string }).sentence).toContain('may be in the log');
  });
});

it('chooses the secure socket on a secure page', () => {
  expect(socketUrl('/ws/room/a', { protocol: 'https:', host: 'lab:8765' })).toBe('wss://lab:8765/ws/room/a');
  expect(socketUrl('/ws/room/a', { protocol: 'http:', host: 'lab:8765' })).toBe('ws://lab:8765/ws/room/a');
});
