import type { Snapshot } from '../src/lib/proto';

export function snapshot(more: Partial<Snapshot> = {}): Snapshot {
  return {
    type: 'snapshot', server_id: 's1', clock_s: 100, run: null, phases: [], numbers: [], tracks: [], rings: [], log: [], cues: [], set_by_hand: [], supply: [],
    problems: [], holds: [], holdables: [], answers: [], notices: [], look_ahead: null, monitor: null, training_mark: 'Training only.', ...more,
  };
}

export const run: NonNullable<Snapshot['run']> = {
  run_id: 'r1', room: 'bay-1', title: 'A case', scenario: 'a', manikin: 'm', crew_text: '', purpose: 'rehearsal', is_running: true, is_ended: false, outcome: null,
  stop_word: 'Stop', emergency_word: 'Real', time_jumps_min: [], time_cap_s: 600, dispatch: '', patient_text: '', recovered_text: '', good_t_s: null, fault_text: '',
};

/** A socket whose other end is the test. */
export class FakeSocket {
  static all: FakeSocket[] = [];
  readyState: number = WebSocket.CONNECTING;
  binaryType = '';
  sent: string[] = [];
  onmessage: ((event: MessageEvent) => void) | null = null;
  onclose: (() => void) | null = null;

  constructor(readonly url: string) {
    FakeSocket.all.push(this);
  }
  send(text: string): void {
    this.sent.push(text);
  }
  close(): void {
    this.drop();
  }
  open(): void {
    this.readyState = WebSocket.OPEN;
  }
  say(message: unknown): void {
    this.onmessage?.(new MessageEvent('message', { data: message instanceof ArrayBuffer ? message : JSON.stringify(message) }));
  }
  drop(): void {
    this.readyState = WebSocket.CLOSED;
    this.onclose?.();
  }
}
