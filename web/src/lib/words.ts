/** A line as a sentence begins: "at patient" becomes "At patient"; "pH", "mL" and the like stay as they are. */
export function capital(text: string): string {
  return /^[a-z](?![A-Z])/.test(text) ? text[0]!.toUpperCase() + text.slice(1) : text;
}
