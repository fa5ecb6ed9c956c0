// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import EntryLine from '../src/lib/EntryLine.svelte';
import type { Outcome } from '../src/lib/live.svelte';
import type { Command, ParseAnswer } from '../src/lib/proto';

const blank: ParseAnswer = { is_complete: false, echo: '', emphasis: [], ghost: '', predicted: '', warning: '', needs_confirmation: false, not_modelled: false, question: '', completions: [] };
const says: Record<string, Partial<ParseAnswer>> = {
  'needle l': { is_complete: true, echo: 'Decompress the left chest', emphasis: ['left'], predicted: 'SpO2 90 in 60 s', ghost: ' 5th' },
  'needle l 5th': { is_complete: true, echo: 'Decompress the left chest, 5th space' },
  needle: { question: 'Which side, left or right?', completions: [{ insert: 'needle l', label: 'left' }, { insert: 'needle r', label: 'right' }] },
  'epi 3 im': { is_complete: true, echo: 'Epinephrine 3 mg IM', needs_confirmation: true, warning: '3 mg is far from the usual 0.3 to 0.5 mg.' },
  'hold her hand': { is_complete: true, echo: 'Other: hold her hand', not_modelled: true },
};
let sent: Command[];
let fate: Outcome;
const reads = (typed: string, _predict: boolean) => Promise.resolve({ ...blank, ...says[typed] });
const parse = vi.fn(reads);
const send = vi.fn((command: Command) => {
  sent.push(command);
  return Promise.resolve(fate);
});

let field: HTMLInputElement;
const settle = async () => {
  await vi.advanceTimersByTimeAsync(80);
  await tick();
};
async function type(text: string): Promise<void> {
  field.value = text;
  await fireEvent.input(field);
  await settle();
}
const press = async (key: string, init: KeyboardEventInit = {}) => {
  const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true, ...init });
  field.dispatchEvent(event);
  await settle();
  return event;
};
const echo = () => document.getElementById('entry-echo')!.textContent!.replace(/\s+/g, ' ').trim();

beforeEach(() => {
  vi.useFakeTimers();
  sent = [];
  fate = { kind: 'ack', seq: 1, text: 'logged' };
  parse.mockClear();
  render(EntryLine, { parse, send });
  field = screen.getByRole('combobox');
});
afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

describe('the entry line', () => {
  it('says the entry back in full, with weight on the side and the predicted effect, before Enter', async () => {
    await type('needle l');
    expect(echo()).toContain('Decompress the left chest');
    expect(document.querySelector('#entry-echo b')!.textContent).toBe('left');
    expect(echo()).toContain('predicted: SpO2 90 in 60 s');
    expect(sent).toEqual([]);
  });

  it('logs on Enter and is empty for the next', async () => {
    await type('needle l');
    await press('Enter');
    expect(sent).toEqual([{ do: 'enter', typed: 'needle l', confirmed: false, late_t_s: null, late_effect: 'rebase' }]);
    expect(field.value).toBe('');
    expect(echo()).toContain('Logged');
  });

  it('asks when something is missing, and sends nothing', async () => {
    await type('needle');
    await press('Enter');
    expect(echo()).toBe('Which side, left or right?');
    expect(sent).toEqual([]);
    expect(field.value).toBe('needle');
  });

  it('takes the grey continuation with Tab or the right arrow', async () => {
    await type('needle l');
    field.setSelectionRange(8, 8);
    const event = await press('Tab');
    expect(event.defaultPrevented).toBe(true);
    expect(field.value).toBe('needle l 5th');
  });

  it('leaves Tab alone when there is nothing to complete', async () => {
    expect((await press('Tab')).defaultPrevented).toBe(false);
    await type('hold her hand');
    expect((await press('Tab')).defaultPrevented).toBe(false);
  });

  it('chooses a completion with arrows and Enter, without logging it', async () => {
    await type('needle');
    expect(screen.getAllByRole('option').length).toBe(2);
    await press('ArrowDown');
    await press('ArrowDown');
    expect(field.getAttribute('aria-activedescendant')).toBe('entry-completion-1');
    await press('Enter');
    expect(field.value).toBe('needle r');
    expect(sent).toEqual([]);
  });

  it('shuts the list with Escape and keeps the text', async () => {
    await type('needle');
    await press('Escape');
    expect(screen.queryAllByRole('option')).toEqual([]);
    expect(field.value).toBe('needle');
  });

  it('wants a second Enter for an unusual dose, and a bounce is not one', async () => {
    await type('epi 3 im');
    await press('Enter');
    expect(echo()).toContain('far from the usual');
    expect(echo()).toContain('Enter again');
    expect(sent).toEqual([]);
    await press('Enter');
    expect(sent).toEqual([]);
    await vi.advanceTimersByTimeAsync(400);
    await press('Enter');
    expect(sent).toMatchObject([{ do: 'enter', typed: 'epi 3 im', confirmed: true }]);
  });

  it('goes back from the second question with Escape, or by writing on', async () => {
    await type('epi 3 im');
    await press('Enter');
    await press('Escape');
    expect(echo()).not.toContain('Enter again');
    await vi.advanceTimersByTimeAsync(400);
    await press('Enter');
    expect(sent).toEqual([]);
  });

  it('says openly what is not modelled', async () => {
    await type('hold her hand');
    expect(echo()).toContain('not modelled');
  });

  it('gets a refused entry back into the line with the sentence', async () => {
    fate = { kind: 'refused', sentence: 'No line is in place.', needs_confirmation: false, suggestions: [] };
    await type('needle l');
    await press('Enter');
    expect(field.value).toBe('needle l');
    expect(echo()).toBe('No line is in place.');
  });

  it('keeps a refused entry beside the line when the next is being written', async () => {
    let refuse: (outcome: Outcome) => void = () => {};
    send.mockImplementationOnce(() => new Promise((resolve) => (refuse = resolve)));
    await type('needle l');
    await press('Enter');
    await type('hold her hand');
    refuse({ kind: 'expired', was_sent: false, sentence: 'Not sent.' });
    await settle();
    expect(field.value).toBe('hold her hand');
    expect(screen.getByRole('alert').textContent).toContain('needle l');
    await fireEvent.click(screen.getByText('put back in the line'));
    await settle();
    expect(field.value).toBe('needle l');
  });

  it('keeps what is typed when the server cannot be asked', async () => {
    parse.mockImplementationOnce(() => Promise.reject(new Error('The server does not answer.')));
    await type('needle l');
    expect(field.value).toBe('needle l');
    expect(echo()).toContain('is kept');
  });

  it('waits for the sentence when Enter comes before it', async () => {
    field.value = 'needle l';
    await fireEvent.input(field);
    await press('Enter');
    expect(sent).toMatchObject([{ typed: 'needle l' }]);
  });

  it('frees the line at once when Enter comes early, and brings back what needs a word more', async () => {
    field.value = 'needle';
    await fireEvent.input(field);
    field.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
    await tick();
    expect(field.value).toBe('');
    await settle();
    expect(field.value).toBe('needle');
    expect(echo()).toBe('Which side, left or right?');
    expect(sent).toEqual([]);
  });

  it('shows the sentence at once and the predicted effect after it', async () => {
    parse.mockImplementation((typed, predict) => Promise.resolve({ ...blank, ...says[typed], predicted: predict ? 'SpO2 90 in 60 s' : '' }));
    field.value = 'needle l';
    await fireEvent.input(field);
    await vi.advanceTimersByTimeAsync(60);
    expect(echo()).toContain('Decompress the left chest');
    expect(echo()).not.toContain('predicted');
    await vi.advanceTimersByTimeAsync(200);
    expect(echo()).toContain('predicted: SpO2 90 in 60 s');
    parse.mockImplementation(reads);
  });

  it('starts from what the page has kept of an unfinished entry', async () => {
    cleanup();
    render(EntryLine, { parse, send, draft: 'needle l' });
    await settle();
    field = screen.getByRole('combobox');
    expect(field.value).toBe('needle l');
    expect(echo()).toContain('Decompress the left chest');
  });

  it('does not repeat while Enter is held down', async () => {
    await type('needle l');
    await press('Enter', { repeat: true });
    expect(sent).toEqual([]);
  });

  it('brings earlier entries back with the up arrow', async () => {
    await type('needle l');
    await press('Enter');
    await press('ArrowUp');
    expect(field.value).toBe('needle l');
  });
});
