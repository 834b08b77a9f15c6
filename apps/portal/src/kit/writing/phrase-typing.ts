import type { Phrase } from '@chordae/contract';

/** A slash at the start of a word that is being typed: where it stands, and what was typed behind it. */
export interface Slash {
  readonly from: number;
  readonly query: string;
}

/** `slashAt('Mild. /thick', 12)` is `{from: 6, query: 'thick'}`; null when the caret is in no such word ('1/2', 'and/or'). */
export function slashAt(text: string, caret: number): Slash | null {
  const found = /(?:^|\s)\/([^\s/]*)$/.exec(text.slice(0, caret));
  if (!found) return null;
  const query = found[1] ?? '';
  return { from: caret - query.length - 1, query };
}

/** Replaces a stretch of text by a phrase and says where the caret stands then. */
export function putPhrase(
  text: string,
  from: number,
  to: number,
  phrase: string,
): { readonly text: string; readonly caret: number } {
  const after = text.slice(to);
  const space = after === '' || /^[\s.,;:)]/.test(after) ? '' : ' ';
  return { text: `${text.slice(0, from)}${phrase}${space}${after}`, caret: from + phrase.length };
}

/** Phrases that hold every word of what was typed, those of this place first; at most eight. */
export function phrasesFor(all: readonly Phrase[], place: Phrase['place'] | null, query: string): Phrase[] {
  const words = query
    .toLowerCase()
    .split(/\s+/)
    .filter((w) => w !== '');
  const fits = all.filter((p) => !p.retired && words.every((w) => p.text.toLowerCase().includes(w)));
  return [...fits.filter((p) => p.place === place), ...fits.filter((p) => p.place !== place)].slice(0, 8);
}
