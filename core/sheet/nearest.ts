/** Suggestions for a misspelt word. */

/** Edits (letters put in, taken out, changed, or two neighbours swapped) between two short words. */
function edits(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1];
      let least = Math.min((row[j - 1] ?? 0) + 1, (last[j] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) least = Math.min(least, (before[j - 2] ?? 0) + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
}

const flat = (word: string): string => word.toLowerCase().replace(/[^a-z0-9]/g, '');

/** The known word that was most likely meant, or undefined where none is near. */
export function nearest(word: string, known: readonly string[]): string | undefined {
  if (word.length > 60) return undefined;
  const meant = flat(word);
  let best: { word: string; distance: number } | undefined;
  for (const candidate of known) {
    const distance = edits(meant, flat(candidate));
    if (distance <= Math.max(1, Math.floor(meant.length / 3)) && (best === undefined || distance < best.distance)) best = { word: candidate, distance };
  }
  if (best) return best.word;
  // "temp" for "temperature", "hr-max-predicted" for "hr-max"
  const begins = known.filter((candidate) => meant.length >= 3 && (flat(candidate).startsWith(meant) || meant.startsWith(flat(candidate))));
  return begins.toSorted((a, b) => a.length - b.length)[0];
}

/** "a, b or c"; long lists are cut. */
export function listed(words: readonly string[], joint = 'or', longest = 40): string {
  const shown = words.length > longest ? [...words.slice(0, longest), `${words.length - longest} more`] : words;
  return shown.length > 1 ? `${shown.slice(0, -1).join(', ')} ${joint} ${shown.at(-1)}` : (shown[0] ?? '');
}

/** What to say about a word that is not among the known ones. */
export function oneOf(word: string, known: readonly string[]): string {
  const near = nearest(word, known);
  return near === undefined ? `use ${listed(known)}` : `did you mean "${near}"?`;
}
