/** What-ifs of one debrief: the one on show, those before it, and what is being computed. The latest request wins. */
import { postJson, sentenceOf } from '../lib/api';
import type { LogLine, WhatIfAnswer, WhatIfAsked } from '../lib/proto';

/** An answer with the entry it is about (null: one was added) and the time at which it would act (null: not at all). */
export interface Answered {
  answer: WhatIfAnswer;
  about: LogLine | null;
  at_s: number | null;
  label: string;
}

export class WhatIfDesk {
  shown = $state.raw<Answered | null>(null);
  trouble = $state('');
  isComputing = $state(false);
  /** Time since the request, in whole seconds: a long run takes some. */
  waited_s = $state(0);
  private earlier = $state.raw<(Answered | null)[]>([]);
  private control: AbortController | null = null;
  private beat: ReturnType<typeof setInterval> | undefined;

  constructor(private readonly path: string) {}

  get canGoBack(): boolean {
    return this.earlier.length > 0;
  }

  async ask(change: WhatIfAsked['change'], about: LogLine | null): Promise<void> {
    this.cancel();
    const control = new AbortController();
    this.control = control;
    this.isComputing = true;
    this.trouble = '';
    const began_ms = performance.now();
    this.beat = setInterval(() => (this.waited_s = Math.floor((performance.now() - began_ms) / 1000)), 250);
    try {
      const asked: WhatIfAsked = { change };
      const answer = await postJson<WhatIfAnswer>(this.path, asked, control.signal);
      if (control.signal.aborted) return;
      this.earlier = [...this.earlier, this.shown].slice(-20);
      const at_s = change.do === 'remove' ? null : 't_s' in change ? change.t_s : (about?.t_s ?? null);
      const typed = 'typed' in change ? change.typed : '';
      this.shown = { answer, about, at_s, label: typed || about?.cut_label || about?.text.slice(0, 24) || '' };
    } catch (error) {
      if (!control.signal.aborted) this.trouble = sentenceOf(error);
    } finally {
      if (this.control === control) this.settle();
    }
  }

  /** Give up what is being computed; what is on show stays. */
  cancel(): void {
    this.control?.abort();
    this.settle();
  }

  private settle(): void {
    clearInterval(this.beat);
    this.control = null;
    this.isComputing = false;
    this.waited_s = 0;
  }

  /** The what-if before this one, or none where this was the first. */
  goBack(): void {
    if (!this.canGoBack) return;
    this.shown = this.earlier.at(-1) ?? null;
    this.earlier = this.earlier.slice(0, -1);
    this.trouble = '';
  }

  /** Back to the run as it was; the way back stays open. */
  clear(): void {
    this.cancel();
    this.trouble = '';
    if (this.shown === null) return;
    this.earlier = [...this.earlier, this.shown].slice(-20);
    this.shown = null;
  }
}
