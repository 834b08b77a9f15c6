import type { Phrase } from '@chordae/contract';
import type { KeyboardEvent, RefObject } from 'react';
import { useLayoutEffect, useRef, useState } from 'react';
import { sentenceOf } from '../../host/api';
import { phrasesFor, putPhrase, slashAt } from './phrase-typing';
import type { Phrases } from './use-phrases';

export type TextBox = HTMLTextAreaElement | HTMLInputElement;

interface Open {
  readonly from: number;
  readonly to: number;
  readonly query: string;
  readonly selected: string;
}

interface Field {
  readonly box: RefObject<HTMLDivElement | null>;
  readonly value: string;
  readonly onChange: (text: string) => void;
  readonly place: Phrase['place'] | null;
  readonly maxLength: number;
}

/** What the keys do in a text that has phrases: open, narrow, choose, keep a selection, retire. */
export function usePhraseTyping(phrases: Phrases | null, field: Field) {
  const { box, value, onChange, place, maxLength } = field;
  const [open, setOpen] = useState<Open | null>(null);
  const [at, setAt] = useState(0);
  const [said, setSaid] = useState('');
  const caret = useRef<number | null>(null);
  const text = () => box.current?.querySelector<TextBox>('textarea, input') ?? null;
  // In the same breath as the text: a key that follows at once must find the caret behind the phrase.
  useLayoutEffect(() => {
    if (caret.current === null) return;
    text()?.setSelectionRange(caret.current, caret.current);
    caret.current = null;
  }, [value]);
  const fits = open && phrases ? phrasesFor(phrases.all, place, open.query) : [];
  const mayKeep = open !== null && open.selected.trim() !== '' && place !== null;
  const count = fits.length + (mayKeep ? 1 : 0);
  const show = (next: Open | null) => {
    setOpen(next);
    setAt(0);
  };
  const openHere = () => {
    const here = text();
    if (!here) return;
    const from = here.selectionStart ?? here.value.length;
    const to = here.selectionEnd ?? from;
    show({ from, to, query: '', selected: here.value.slice(from, to) });
    here.focus();
  };
  const typed = (here: TextBox) => {
    onChange(here.value);
    const end = here.selectionEnd ?? here.value.length;
    const slash = phrases ? slashAt(here.value, end) : null;
    show(slash ? { from: slash.from, to: end, query: slash.query, selected: '' } : null);
  };
  const insert = (phrase: Phrase) => {
    const here = text();
    if (!here || !open) return;
    show(null);
    const made = putPhrase(here.value, open.from, open.to, phrase.text);
    if (made.text.length > maxLength) {
      // Nothing that stands there already is cut off for it.
      setSaid(`No room for it: at most ${maxLength} characters.`);
      return;
    }
    caret.current = made.caret;
    onChange(made.text);
  };
  const told = (work: Promise<void>, done: string) =>
    void work.then(() => setSaid(done)).catch((error: unknown) => setSaid(sentenceOf(error)));
  // With a selection, keeping it stands first: that is what it was selected for.
  const phraseAt = (n: number) => fits[mayKeep ? n - 1 : n];
  const choose = (n: number) => {
    const phrase = phraseAt(n);
    if (phrase) return insert(phrase);
    if (mayKeep && open && phrases && place !== null)
      told(phrases.keep(place, open.selected), 'Kept as a phrase of the group.');
    show(null);
  };
  const retireAt = (n: number) => {
    const phrase = phraseAt(n);
    if (phrase && phrases) told(phrases.setRetired(phrase, true), 'Retired. Texts that used it keep it.');
  };
  const onKeyDown = (event: KeyboardEvent<TextBox>) => {
    if (event.altKey && event.code === 'KeyP') {
      event.preventDefault();
      openHere();
      return;
    }
    if (!open || event.ctrlKey || event.metaKey) return;
    const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (step !== 0 && count > 0) setAt((at + step + count) % count);
    else if (event.key === 'Enter' && count > 0) choose(at);
    else if (event.key === 'Escape') show(null);
    else if (event.key === 'Delete' && event.shiftKey) retireAt(at);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return {
    isOpen: open !== null,
    fits,
    at,
    count,
    keep: mayKeep ? (open?.selected ?? null) : null,
    said,
    typed,
    openHere,
    choose,
    retireAt,
    onKeyDown,
    onBlur: () => show(null),
    onFocus: () => setSaid(''),
  };
}
