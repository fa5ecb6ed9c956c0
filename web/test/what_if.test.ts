import { afterEach, describe, expect, it, vi } from 'vitest';
import { WhatIfDesk } from '../src/debrief/what_if.svelte';
import type { LogLine, WhatIfAnswer } from '../src/lib/proto';

const about = { seq: 7, t_s: 125, text: 'Decompress the left chest', cut_label: 'needle left' } as unknown as LogLine;
const answered = (sentence: string): WhatIfAnswer => ({ sentence }) as unknown as WhatIfAnswer;

function server(...replies: (() => Promise<Response>)[]): void {
  const asked = [...replies];
  vi.stubGlobal('fetch', (_: string, init: RequestInit) => {
    const reply = asked.shift()!;
    return new Promise<Response>((resolve, reject) => {
      init.signal?.addEventListener('abort', () => reject(new DOMException('stopped', 'AbortError')));
      void reply().then(resolve, reject);
    });
  });
}
const ok = (sentence: string) => () => Promise.resolve(Response.json(answered(sentence)));
const never = () => new Promise<Response>(() => {});

afterEach(() => vi.unstubAllGlobals());

describe('the what-ifs of a debrief', () => {
  it('keeps the ones before, to go back to, and the run itself at the end', async () => {
    server(ok('first'), ok('second'));
    const desk = new WhatIfDesk('/what-if');
    await desk.ask({ do: 'remove', seq: 7 }, about);
    expect(desk.shown).toMatchObject({ about, at_s: null, label: 'needle left' });
    await desk.ask({ do: 'move', seq: 7, t_s: 60 }, about);
    expect(desk.shown).toMatchObject({ at_s: 60, answer: { sentence: 'second' } });
    desk.goBack();
    expect(desk.shown?.answer.sentence).toBe('first');
    desk.goBack();
    expect(desk.shown).toBeNull();
    expect(desk.canGoBack).toBe(false);
  });

  it('comes back after it was taken away', async () => {
    server(ok('first'));
    const desk = new WhatIfDesk('/what-if');
    await desk.ask({ do: 'remove', seq: 7 }, about);
    desk.clear();
    expect(desk.shown).toBeNull();
    desk.goBack();
    expect(desk.shown?.answer.sentence).toBe('first');
  });

  it('says why one cannot be, and leaves what is on show', async () => {
    server(ok('first'), () => Promise.resolve(Response.json({ sentence: 'a what-if cannot be placed at 4000 s', faults: [] }, { status: 422 })));
    const desk = new WhatIfDesk('/what-if');
    await desk.ask({ do: 'remove', seq: 7 }, about);
    await desk.ask({ do: 'move', seq: 7, t_s: 4000 }, about);
    expect(desk.trouble).toBe('a what-if cannot be placed at 4000 s');
    expect(desk.shown?.answer.sentence).toBe('first');
    expect(desk.isComputing).toBe(false);
  });

  it('gives up the older of two requests without a word', async () => {
    server(never, ok('second'));
    const desk = new WhatIfDesk('/what-if');
    const older = desk.ask({ do: 'remove', seq: 7 }, about);
    await desk.ask({ do: 'add', typed: 'needle l', t_s: 30 }, null);
    await older;
    expect(desk.shown).toMatchObject({ label: 'needle l', at_s: 30, about: null });
    expect(desk.trouble).toBe('');
  });

  it('can be stopped', async () => {
    server(never);
    const desk = new WhatIfDesk('/what-if');
    const asked = desk.ask({ do: 'remove', seq: 7 }, about);
    expect(desk.isComputing).toBe(true);
    desk.cancel();
    await asked;
    expect(desk).toMatchObject({ isComputing: false, trouble: '', shown: null });
  });
});
