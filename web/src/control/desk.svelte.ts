import type { Live, Outcome } from '../lib/live.svelte';
import type { Command } from '../lib/proto';

export interface Notice {
  id: number;
  about: string;
  sentence: string;
}

/** Sends what keys and buttons ask for, and keeps every refusal on screen until it is read. */
export class Desk {
  notices = $state.raw<Notice[]>([]);
  #next = 1;

  constructor(readonly live: Live) {}

  async do(command: Command, label: string): Promise<Outcome> {
    const fate = await this.live.send(command, label);
    if (fate.kind !== 'ack') this.say(label, fate.sentence);
    return fate;
  }

  say(about: string, sentence: string): void {
    this.notices = [...this.notices.slice(-2), { id: this.#next++, about, sentence }];
  }

  dismiss(id: number | undefined = this.notices.at(-1)?.id): void {
    this.notices = this.notices.filter((notice) => notice.id !== id);
  }
}
