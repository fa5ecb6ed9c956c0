/** Splits a sentence at the words that deserve weight, in order, each occurrence once. */
export function withEmphasis(sentence: string, words: readonly string[]): { text: string; strong: boolean }[] {
  const wanted = words.filter((word) => word !== '').sort((a, b) => b.length - a.length);
  if (wanted.length === 0) return sentence === '' ? [] : [{ text: sentence, strong: false }];
  const pattern = new RegExp(
    `(?<![\\w.])(?:${wanted.map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')).join('|')})(?![\\w])`,
    'gi',
  );
  const parts: { text: string; strong: boolean }[] = [];
  let at = 0;
  for (const match of sentence.matchAll(pattern)) {
    if (match.index > at) parts.push({ text: sentence.slice(at, match.index), strong: false });
    parts.push({ text: match[0], strong: true });
    at = match.index + match[0].length;
  }
  if (at < sentence.length) parts.push({ text: sentence.slice(at), strong: false });
  return parts;
}
