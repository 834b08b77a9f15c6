import type { Phrase } from '@chordae/contract';

/** The phrases that fit, laid over the page so that nothing moves. Chosen by keys from the text, or by pointing. */
export function PhraseList({
  id,
  fits,
  at,
  keep,
  onChoose,
  onRetire,
}: {
  id: string;
  fits: readonly Phrase[];
  at: number;
  /** Selected text that may be kept; null: none. */
  keep: string | null;
  onChoose: (at: number) => void;
  onRetire: () => void;
}) {
  const row = (n: number) => ({
    id: `${id}-${n}`,
    role: 'option' as const,
    'aria-selected': n === at,
    // The text keeps the focus; a press on the list must not take it.
    onMouseDown: (e: { preventDefault(): void }) => e.preventDefault(),
    onClick: () => onChoose(n),
  });
  return (
    <div className="phrase-list">
      <div id={id} role="listbox" aria-label="Phrases of the group">
        {keep ? (
          <div className="phrase" {...row(0)}>
            Keep as phrase: ‘{keep.trim().slice(0, 80)}’
          </div>
        ) : null}
        {fits.map((p, n) => (
          <div key={p.id} className="phrase" {...row(keep ? n + 1 : n)}>
            {p.text}
          </div>
        ))}
        {fits.length === 0 && !keep ? (
          <div className="phrase phrase-none" role="option" aria-selected={false} aria-disabled="true">
            No phrase fits. Select text and press Alt P to keep one.
          </div>
        ) : null}
      </div>
      {fits.length > 0 ? (
        <p className="phrase-keys">
          <kbd className="key">Enter</kbd> puts it in, <kbd className="key">Esc</kbd> closes,{' '}
          <kbd className="key">Shift Del</kbd>{' '}
          <button
            type="button"
            tabIndex={-1}
            className="phrase-retire"
            onMouseDown={(e) => e.preventDefault()}
            onClick={onRetire}
          >
            retires it
          </button>
        </p>
      ) : null}
    </div>
  );
}
