import type { Phrase } from '@chordae/contract';
import type { KeyboardEvent, ReactNode } from 'react';
import { createContext, useContext, useId, useLayoutEffect, useRef, useState } from 'react';
import { sentenceOf } from '../../host/api';
import { TextArea } from '../../kit/field';
import { PhraseList } from './opinion-phrase-list';
import { phrasesFor, putPhrase, slashAt } from './phrase-typing';
import type { Phrases } from './use-phrases';

export const PhrasesContext = createContext<Phrases | null>(null);

interface Props {
  readonly label: string;
  readonly value: string;
  readonly onChange: (text: string) => void;
  /** Where a kept phrase belongs, and whose phrases come first; null: any, and none is kept from here. */
  readonly place: Phrase['place'] | null;
  readonly rows?: number;
  readonly maxLength: number;
  readonly hint?: ReactNode;
}

interface Open {
  readonly from: number;
  readonly to: number;
  readonly query: string;
  readonly selected: string;
}

/**
 * A text with the group's phrases: a slash at the start of a word opens them, typing on narrows them, Enter puts one in.
 * Alt and P opens them anywhere; text that is selected then may be kept as a phrase.
 */
export function PhraseArea({ label, value, onChange, place, rows = 2, maxLength, hint }: Props) {
  const phrases = useContext(PhrasesContext);
  const box = useRef<HTMLDivElement>(null);
  const listId = useId();
  const [open, setOpen] = useState<Open | null>(null);
  const [at, setAt] = useState(0);
  const [said, setSaid] = useState('');
  const fits = open && phrases ? phrasesFor(phrases.all, place, open.query) : [];
  const mayKeep = open !== null && open.selected.trim() !== '' && place !== null;
  const count = fits.length + (mayKeep ? 1 : 0);
  const caret = useRef<number | null>(null);
  // In the same breath as the text: a key that follows at once must find the caret behind the phrase.
  useLayoutEffect(() => {
    if (caret.current === null) return;
    area()?.setSelectionRange(caret.current, caret.current);
    caret.current = null;
  }, [value]);
  const area = () => box.current?.querySelector('textarea') ?? null;

  const look = (field: HTMLTextAreaElement) => {
    if (!phrases) return;
    const slash = slashAt(field.value, field.selectionEnd);
    setOpen(slash ? { from: slash.from, to: field.selectionEnd, query: slash.query, selected: '' } : null);
    setAt(0);
  };
  const openHere = () => {
    const field = area();
    if (!field) return;
    const { selectionStart: from, selectionEnd: to } = field;
    setOpen({ from, to, query: '', selected: field.value.slice(from, to) });
    setAt(0);
    field.focus();
  };
  const insert = (phrase: Phrase) => {
    const field = area();
    if (!field || !open) return;
    const made = putPhrase(field.value, open.from, open.to, phrase.text);
    setOpen(null);
    caret.current = made.caret;
    onChange(made.text.slice(0, maxLength));
  };
  const told = (work: Promise<void>, done: string) =>
    work.then(() => setSaid(done)).catch((error: unknown) => setSaid(sentenceOf(error)));
  const keep = () => {
    if (!open || !phrases || place === null) return;
    void told(phrases.keep(place, open.selected), 'Kept as a phrase of the group.');
    setOpen(null);
  };
  const retire = (phrase: Phrase) =>
    void told(
      phrases?.setRetired(phrase, true) ?? Promise.resolve(),
      `Retired: ‘${phrase.text.slice(0, 40)}’. Texts that used it keep it.`,
    );
  const retireAt = (n: number) => {
    const phrase = fits[mayKeep ? n - 1 : n];
    if (phrase) retire(phrase);
  };
  const choose = (n: number) => {
    // With a selection, keeping it stands first: that is what it was selected for.
    const phrase = fits[mayKeep ? n - 1 : n];
    if (phrase) insert(phrase);
    else if (mayKeep) keep();
    else setOpen(null);
  };
  const onKey = (event: KeyboardEvent<HTMLTextAreaElement>) => {
    if (event.altKey && event.code === 'KeyP') {
      event.preventDefault();
      openHere();
      return;
    }
    if (!open || event.ctrlKey || event.metaKey) return;
    const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (step !== 0 && count > 0) setAt((at + step + count) % count);
    else if (event.key === 'Enter' && count > 0) choose(at);
    else if (event.key === 'Escape') setOpen(null);
    else if (event.key === 'Delete' && event.shiftKey) retireAt(at);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div className="phrase-box" ref={box}>
      <TextArea
        label={label}
        rows={rows}
        value={value}
        hint={hint}
        maxLength={maxLength}
        aria-autocomplete={phrases ? 'list' : undefined}
        aria-controls={open ? listId : undefined}
        aria-activedescendant={open && count > 0 ? `${listId}-${at}` : undefined}
        onChange={(e) => {
          onChange(e.target.value);
          look(e.target);
        }}
        onKeyDown={onKey}
        onBlur={() => setOpen(null)}
        onFocus={() => setSaid('')}
      />
      {phrases ? (
        <button
          type="button"
          className="phrase-open"
          tabIndex={-1}
          title="Phrases of the group: Alt P"
          onMouseDown={(e) => e.preventDefault()}
          onClick={openHere}
        >
          Phrases <kbd className="key">/</kbd>
        </button>
      ) : null}
      {open ? (
        <PhraseList
          id={listId}
          fits={fits}
          at={at}
          keep={mayKeep ? open.selected : null}
          onChoose={choose}
          onRetire={() => retireAt(at)}
        />
      ) : null}
      <p className="phrase-said" role="status">
        {said}
      </p>
    </div>
  );
}
