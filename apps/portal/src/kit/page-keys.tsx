import { useEffect, useState } from 'react';

/** A part of a page that a chord of Alt and a letter leads to. */
export interface PartKey {
  /** One capital letter. */
  readonly letter: string;
  /** What stands there, as the page calls it. */
  readonly name: string;
  /** Id of the part, or of its heading. */
  readonly id: string;
}

/** A chord that presses what carries it as `data-key`, as long as that is on the page. */
export interface PressKey {
  readonly chord: 'Ctrl Enter' | `Alt ${string}`;
  readonly does: string;
}

const FIELDS = ':is(input, textarea, select, button):not(:disabled)';

/** On a keyboard whose Alt writes other letters, the key's place counts. */
const letterOf = (event: KeyboardEvent): string =>
  (/^[a-z]$/i.test(event.key) ? event.key : event.code.replace(/^Key/, '')).toUpperCase();

function chordOf(event: KeyboardEvent): string | null {
  if (event.shiftKey) return null;
  const command = event.ctrlKey || event.metaKey;
  if (event.key === 'Enter') return command && !event.altKey ? 'Ctrl Enter' : null;
  // Ctrl with Alt is how some keyboards write their third letters.
  return event.altKey && !command ? `Alt ${letterOf(event)}` : null;
}

const seen = (element: HTMLElement): boolean => element.getClientRects().length > 0;

/** What a chord presses, where it is in sight. */
const onPage = (chord: string): HTMLElement | undefined =>
  [...document.querySelectorAll<HTMLElement>(`[data-key="${chord}"]`)].find(seen);

/** The part's first field in sight, at the top of the window; its heading where it holds none. */
function goTo(id: string): boolean {
  const mark = document.getElementById(id);
  if (!mark) return false;
  const part = mark.matches('h1, h2, h3') ? (mark.closest('section') ?? mark) : mark;
  const field = [...part.querySelectorAll<HTMLElement>(FIELDS)].find(seen);
  part.scrollIntoView({ block: 'start' });
  if (field) field.focus({ preventScroll: true });
  else {
    mark.tabIndex = -1;
    mark.focus({ preventScroll: true });
  }
  return true;
}

/**
 * Keys of a long page: to its parts, and to what can be pressed on it. They work while somebody types, so that the hands
 * stay where they are; not under a dialog. Shown at the foot of the page where there is a keyboard.
 */
export function PageKeys({ parts, presses }: { parts: readonly PartKey[]; presses: readonly PressKey[] }) {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const chord = chordOf(event);
      if (chord === null || event.defaultPrevented || document.querySelector('dialog[open]')) return;
      const part = parts.find((p) => chord === `Alt ${p.letter}`);
      const target = presses.some((p) => p.chord === chord) ? onPage(chord) : undefined;
      if (target) target.click();
      else if (!part || !goTo(part.id)) return;
      event.preventDefault();
    };
    globalThis.addEventListener('keydown', press);
    return () => globalThis.removeEventListener('keydown', press);
  }, [parts, presses]);
  const [shown, setShown] = useState<readonly (readonly [chord: string, words: string])[]>([]);
  // What the page holds changes with the case: looked up when somebody asks.
  const look = () =>
    setShown([
      ...presses.filter((p) => onPage(p.chord)).map((p) => [p.chord, p.does] as const),
      ...parts.filter((p) => document.getElementById(p.id)).map((p) => [`Alt ${p.letter}`, p.name] as const),
    ]);
  return (
    <details className="page-keys" onToggle={look}>
      <summary>Keys on this page</summary>
      <dl>
        {shown.map(([chord, words]) => (
          <div key={chord}>
            <dt>
              <kbd className="key">{chord}</kbd>
            </dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
