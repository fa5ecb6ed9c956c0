/** A new id for an action. `crypto.randomUUID` is missing on plain http, `getRandomValues` is not. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
