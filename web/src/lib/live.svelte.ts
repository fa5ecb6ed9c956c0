import { apply } from './fold';
import { newId } from './ids';
import type { Command, CommandSent, LookAhead, ServerMessage, Snapshot } from './proto';

/** An action older than this is not sent unasked: a shock must not fire half a minute after it was pressed. */
export const AGE_LIMIT_MS = 5000;
/** While a run is going, this long without news means that the link is not to be trusted. */
export const QUIET_MS = 2500;
const BACK_OFF_FIRST_MS = 200;
const BACK_OFF_LAST_MS = 2000;
/** The server closes with this code where the lab has no such room (`web/sockets.py`). */
const UNKNOWN_ROOM = 4404;

export type Link = 'connecting' | 'live' | 'quiet' | 'lost';

export interface Waiting {
  client_id: string;
  command: Command;
  /** What the operator reads while it waits. */
  label: string;
  made_ms: number;
  was_sent: boolean;
}

export type Outcome =
  | { kind: 'ack'; seq: number | null; text: string }
  | { kind: 'refused'; sentence: string; needs_confirmation: boolean; suggestions: string[] }
  | { kind: 'expired'; was_sent: boolean; sentence: string };

/** The parts of the world that `Live` touches, so that tests can stand in for them. */
export interface Surroundings {
  socket: (url: string) => WebSocket;
  now_ms: () => number;
  random: () => number;
}

const BROWSER: Surroundings = {
  socket: (url) => new WebSocket(url),
  now_ms: () => performance.now(),
  random: () => Math.random(),
};

export function socketUrl(path: string, place: { protocol: string; host: string } = location): string {
  return `${place.protocol === 'https:' ? 'wss' : 'ws'}://${place.host}${path}`;
}

/**
 * One room as a screen sees it: a snapshot, the changes after it, and the actions that wait to be on disk.
 *
 * It reconnects by itself for as long as the page is open. What the page holds (half-typed text) is never lost by it.
 */
export class Live {
  link = $state<Link>('connecting');
  snapshot = $state.raw<Snapshot | null>(null);
  lookAhead = $state.raw<LookAhead | null>(null);
  waiting = $state.raw<Waiting[]>([]);
  /** The server answers, and says that the lab has no such room. */
  isUnknown = $state(false);
  /** Binary frames go past Svelte: waves are drawn 60 times a second. */
  onFrame: (frame: ArrayBuffer) => void = () => {};
  /** A new server or a new run: waves start again. */
  onSnapshot: (snapshot: Snapshot) => void = () => {};

  #socket: WebSocket | null = null;
  #tries = 0;
  #heard_ms: number;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #beat: ReturnType<typeof setInterval>;
  #outcomes = new Map<string, (outcome: Outcome) => void>();
  #isClosed = false;

  constructor(
    readonly url: string,
    private readonly around: Surroundings = BROWSER,
    readonly actor = 'operator',
  ) {
    this.#heard_ms = around.now_ms();
    this.#beat = setInterval(() => this.#lookAround(), 250);
    this.#connect();
  }

  /** Sends an action, or keeps it until the link is back, at most 5 s. Resolves when its fate is known. */
  send(command: Command, label: string): Promise<Outcome> {
    const waiting: Waiting = {
      client_id: newId(),
      command,
      label,
      made_ms: this.around.now_ms(),
      was_sent: false,
    };
    this.waiting = [...this.waiting, waiting];
    const fate = new Promise<Outcome>((resolve) => this.#outcomes.set(waiting.client_id, resolve));
    this.#dispatch(waiting);
    return fate;
  }

  /** Tries at once instead of waiting for the next attempt. */
  tryNow(): void {
    if (this.link !== 'lost' || this.#isClosed) return;
    if (this.#timer) clearTimeout(this.#timer);
    this.#connect();
  }

  close(): void {
    this.#isClosed = true;
    clearInterval(this.#beat);
    if (this.#timer) clearTimeout(this.#timer);
    this.#socket?.close();
  }

  #connect(): void {
    this.#timer = null;
    if (this.#socket) this.#socket.onclose = null;
    let socket: WebSocket;
    try {
      socket = this.around.socket(this.url);
    } catch {
      this.#again();
      return;
    }
    socket.binaryType = 'arraybuffer';
    this.#socket = socket;
    socket.onmessage = (message: MessageEvent<string | ArrayBuffer>) => {
      if (this.#socket !== socket) return;
      this.#heard_ms = this.around.now_ms();
      if (typeof message.data === 'string') this.#take(JSON.parse(message.data) as ServerMessage);
      else this.onFrame(message.data);
    };
    socket.onclose = (event?: CloseEvent) => {
      if (this.#socket !== socket) return;
      this.isUnknown = event?.code === UNKNOWN_ROOM;
      this.#again();
    };
  }

  #again(): void {
    this.#socket = null;
    if (this.#isClosed) return;
    this.link = 'lost';
    const wait_ms = Math.min(BACK_OFF_LAST_MS, BACK_OFF_FIRST_MS * 2 ** this.#tries);
    this.#tries += 1;
    this.#timer = setTimeout(() => this.#connect(), wait_ms * (0.5 + 0.5 * this.around.random()));
  }

  #take(message: ServerMessage): void {
    switch (message.type) {
      case 'snapshot':
        this.#tries = 0;
        this.link = 'live';
        this.snapshot = message;
        this.lookAhead = message.look_ahead;
        this.onSnapshot(message);
        for (const waiting of this.waiting) this.#dispatch(waiting);
        break;
      case 'delta':
        if (this.snapshot) this.snapshot = apply(this.snapshot, message);
        break;
      case 'look_ahead':
        this.lookAhead = message;
        break;
      case 'ack':
        this.#settle(message.client_id, { kind: 'ack', seq: message.seq, text: message.text });
        break;
      case 'refused':
        this.#settle(message.client_id, {
          kind: 'refused',
          sentence: message.sentence,
          needs_confirmation: message.needs_confirmation,
          suggestions: message.suggestions,
        });
        break;
    }
  }

  #dispatch(waiting: Waiting): void {
    const age_ms = this.around.now_ms() - waiting.made_ms;
    if (age_ms > AGE_LIMIT_MS) return; // the next look around gives it up
    if (this.link !== 'live' && this.link !== 'quiet') return;
    if (this.#socket?.readyState !== WebSocket.OPEN) return;
    const message: CommandSent = {
      type: 'command',
      client_id: waiting.client_id,
      actor: this.actor,
      age_ms: Math.round(age_ms),
      command: waiting.command,
    };
    this.#socket.send(JSON.stringify(message));
    waiting.was_sent = true;
  }

  #settle(client_id: string, outcome: Outcome): void {
    this.waiting = this.waiting.filter((waiting) => waiting.client_id !== client_id);
    this.#outcomes.get(client_id)?.(outcome);
    this.#outcomes.delete(client_id);
  }

  #lookAround(): void {
    const now_ms = this.around.now_ms();
    for (const waiting of this.waiting) {
      if (now_ms - waiting.made_ms <= AGE_LIMIT_MS) continue;
      this.#settle(waiting.client_id, {
        kind: 'expired',
        was_sent: waiting.was_sent,
        sentence: waiting.was_sent
          ? 'Not confirmed within 5 s. It may be in the log: look at the event list before sending it again.'
          : 'Not sent: the link was away for 5 s. Nothing was done; send it again if it is still wanted.',
      });
    }
    if (this.link === 'live' || this.link === 'quiet') {
      const isGoing = this.snapshot?.run?.is_running === true && !this.snapshot.run.is_ended;
      this.link = isGoing && now_ms - this.#heard_ms > QUIET_MS ? 'quiet' : 'live';
    }
  }
}
