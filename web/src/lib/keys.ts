/**
 * Keys of a screen. A single key (no Ctrl, Alt or Meta, not a function key) never fires while a field has focus;
 * Enter and Space are left to the button that has focus.
 */
export interface Key {
  /** As in `KeyboardEvent.key`, with "Ctrl+" or "Ctrl+Shift+" in front: "4", "F1", "Ctrl+.", "Ctrl+Shift+." */
  keys: string;
  does: string;
  group: string;
  run: () => void;
  /** Off while this says no; still listed. */
  when?: () => boolean;
}

const FIELDS = 'input:not([type=checkbox]):not([type=radio]):not([type=button]):not([type=range]), textarea, select';

export function isField(target: EventTarget | null): boolean {
  return target instanceof Element && (target.matches(FIELDS) || target.closest('[contenteditable=true]') !== null);
}

export function nameOf(event: KeyboardEvent): string {
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (event.ctrlKey || event.metaKey) return `Ctrl+${event.shiftKey ? 'Shift+' : ''}${unshifted(event, key)}`;
  if (event.altKey) return `Alt+${key}`;
  return key;
}

/** With Shift, a sign key reports what is printed above it (">" for "."): its place on the keyboard says which it is. */
function unshifted(event: KeyboardEvent, key: string): string {
  if (event.code === 'Period') return '.';
  return key;
}

export const isSingle = (keys: string): boolean => !/^(Ctrl|Alt)\+/.test(keys) && !/^F\d{1,2}$/.test(keys);

/** The key that an event means here, or null. */
export function keyFor(event: KeyboardEvent, keys: readonly Key[]): Key | null {
  if (event.defaultPrevented || event.isComposing || event.repeat) return null;
  const name = nameOf(event);
  const found = keys.find((key) => key.keys === name && (key.when?.() ?? true));
  if (!found) return null;
  if (isSingle(found.keys)) {
    if (isField(event.target)) return null;
    if (document.querySelector('dialog[open]')) return null;
  }
  return found;
}

/** Listens until the returned function is called. `keys` is asked at every press, so that it may change. */
export function listen(keys: () => readonly Key[], target: EventTarget = window): () => void {
  const handle = (event: Event) => {
    const key = keyFor(event as KeyboardEvent, keys());
    if (!key) return;
    event.preventDefault();
    key.run();
  };
  target.addEventListener('keydown', handle);
  return () => target.removeEventListener('keydown', handle);
}

const isLetter = (key: string): boolean => /^[a-z]$/.test(key);

/** How a key is printed on a key cap. */
export function capText(keys: string): string {
  const last = keys.at(-1)!;
  const cap = isLetter(last) && (keys.length === 1 || keys.endsWith(`+${last}`)) ? keys.slice(0, -1) + last.toUpperCase() : keys;
  return cap.replace('Ctrl+', 'Ctrl ').replace('Shift+', 'Shift ').replace('Escape', 'Esc').replace('Enter', '↵');
}
