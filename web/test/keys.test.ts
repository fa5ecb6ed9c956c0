// @vitest-environment jsdom
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { capText, isSingle, listen, type Key } from '../src/lib/keys';

let fired: string[] = [];
let stop: () => void;
const key = (keys: string, when?: () => boolean): Key => ({ keys, does: keys, group: 'g', run: () => fired.push(keys), ...(when ? { when } : {}) });
const press = (target: EventTarget, init: KeyboardEventInit) => target.dispatchEvent(new KeyboardEvent('keydown', { bubbles: true, cancelable: true, ...init }));

beforeEach(() => {
  fired = [];
  document.body.innerHTML = '<input id="text"><input id="tick" type="checkbox"><textarea id="area"></textarea><select id="pick"></select><button id="button">b</button><div id="edit" contenteditable="true"></div>';
  stop = listen(() => [key('4'), key('F1'), key('Ctrl+z'), key('Ctrl+.'), key('Ctrl+Shift+.'), key('?'), key('x', () => false)]);
});
afterEach(() => stop());
const at = (id: string) => document.getElementById(id)!;

describe('a single key', () => {
  it('fires where no field has focus', () => {
    press(document.body, { key: '4' });
    press(at('button'), { key: '4' });
    press(at('tick'), { key: '4' });
    expect(fired).toEqual(['4', '4', '4']);
  });
  it.each(['text', 'area', 'pick', 'edit'])('never fires while %s has focus', (id) => {
    press(at(id), { key: '4' });
    press(at(id), { key: '?' });
    expect(fired).toEqual([]);
  });
  it('rests while a sheet is open', () => {
    document.body.insertAdjacentHTML('beforeend', '<dialog open></dialog>');
    press(document.body, { key: '4' });
    expect(fired).toEqual([]);
  });
  it('fires once while it is held down', () => {
    press(document.body, { key: '4' });
    press(document.body, { key: '4', repeat: true });
    expect(fired).toEqual(['4']);
  });
  it('is not a single key with Ctrl', () => {
    press(document.body, { key: '4', ctrlKey: true });
    expect(fired).toEqual([]);
  });
  it('can be off', () => {
    press(document.body, { key: 'x' });
    expect(fired).toEqual([]);
  });
});

describe('F keys and Ctrl', () => {
  it('work while writing', () => {
    press(at('text'), { key: 'F1' });
    press(at('text'), { key: '.', code: 'Period', ctrlKey: true });
    press(at('text'), { key: '>', code: 'Period', ctrlKey: true, shiftKey: true });
    press(at('text'), { key: 'z', metaKey: true });
    expect(fired).toEqual(['F1', 'Ctrl+.', 'Ctrl+Shift+.', 'Ctrl+z']);
  });
  it('keep the browser from its own use of the key', () => {
    expect(press(document.body, { key: 'F1' })).toBe(false);
    expect(press(document.body, { key: 'F2' })).toBe(true);
  });
  it('rest while a word is composed', () => {
    press(document.body, { key: '4', isComposing: true });
    expect(fired).toEqual([]);
  });
});

it('knows which keys are single, and prints caps', () => {
  expect(['4', '/', 'F1', 'F12', 'Ctrl+z'].map(isSingle)).toEqual([true, true, false, false, false]);
  expect(capText('Ctrl+Shift+.')).toBe('Ctrl Shift .');
  // As the caps on the buttons of the screens are printed.
  expect(['l', 'Ctrl+z', 'Escape', 'F1', '4'].map(capText)).toEqual(['L', 'Ctrl Z', 'Esc', 'F1', '4']);
});
