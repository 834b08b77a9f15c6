import type { Phrase } from '@chordae/contract';
import type { ReactNode } from 'react';
import { createContext, useContext, useId, useRef } from 'react';
import { TextArea, TextField } from '../field';
import { PhraseList } from './phrase-list';
import { usePhraseTyping } from './use-phrase-typing';
import type { Phrases } from './use-phrases';

export const PhrasesContext = createContext<Phrases | null>(null);

interface Props {
  readonly label: string;
  readonly value: string;
  readonly onChange: (text: string) => void;
  /** Where a kept phrase belongs, and whose phrases come first; null: any, and none is kept from here. */
  readonly place: Phrase['place'] | null;
  readonly maxLength: number;
  /** Lines of a text; one line when it is left out. */
  readonly rows?: number;
  readonly placeholder?: string;
  readonly hint?: ReactNode;
}

/**
 * A text with the group's phrases: a slash at the start of a word opens them, typing on narrows them, Enter puts one in.
 * Alt and P opens them anywhere; text that is selected then may be kept as a phrase.
 */
export function PhraseArea({ label, value, onChange, place, rows, maxLength, placeholder, hint }: Props) {
  const phrases = useContext(PhrasesContext);
  const box = useRef<HTMLDivElement>(null);
  const listId = useId();
  const keys = usePhraseTyping(phrases, { box, value, onChange, place, maxLength });
  const shared = {
    label,
    value,
    hint,
    maxLength,
    placeholder,
    wide: true,
    'aria-autocomplete': phrases ? ('list' as const) : undefined,
    'aria-controls': keys.isOpen ? listId : undefined,
    'aria-activedescendant': keys.isOpen && keys.count > 0 ? `${listId}-${keys.at}` : undefined,
    onKeyDown: keys.onKeyDown,
    onBlur: keys.onBlur,
    onFocus: keys.onFocus,
  };
  return (
    <div className="phrase-box" ref={box}>
      {rows === undefined ? (
        <TextField {...shared} onChange={(e) => keys.typed(e.target)} />
      ) : (
        <TextArea {...shared} rows={rows} onChange={(e) => keys.typed(e.target)} />
      )}
      {phrases ? (
        <button
          type="button"
          className="phrase-open"
          tabIndex={-1}
          title="Phrases of the group: Alt P"
          onMouseDown={(e) => e.preventDefault()}
          onClick={keys.openHere}
        >
          Phrases <kbd className="key">/</kbd>
        </button>
      ) : null}
      {keys.isOpen ? (
        <PhraseList
          id={listId}
          fits={keys.fits}
          at={keys.at}
          keep={keys.keep}
          onChoose={keys.choose}
          onRetire={() => keys.retireAt(keys.at)}
        />
      ) : null}
      <p className="phrase-said" role="status">
        {keys.said}
      </p>
    </div>
  );
}
