import type { ReactNode } from 'react';
import { useEffect, useId, useRef, useState } from 'react';
import { Button } from './button';

/**
 * A dialog over the page: focus stays inside, Escape closes it, Ctrl Enter presses its main button, the page behind keeps
 * its state.
 */
export function Dialog({
  title,
  onClose,
  children,
  wide = false,
}: {
  title: string;
  /** Absent: cannot be closed without an answer. */
  onClose?: () => void;
  children: ReactNode;
  wide?: boolean;
}) {
  const id = useId();
  const ref = useRef<HTMLDialogElement>(null);
  const gone = useRef(false);
  const typed = useRef(false);
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    const dialog = ref.current;
    const before = document.activeElement;
    gone.current = false;
    if (dialog && !dialog.open) dialog.showModal();
    // The first thing to fill in, not the button that closes.
    const field = dialog?.querySelector<HTMLElement>(
      '.dialog-body :is(input:not([type=file]), textarea, select):not(:disabled)',
    );
    field?.focus();
    return () => {
      gone.current = true;
      dialog?.close();
      // The dialog is gone from the page by now: the browser gives the focus back to nobody.
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, []);
  useEffect(() => {
    // On the window: where what had the focus is gone, no key comes by the dialog.
    const press = (event: KeyboardEvent) => {
      if (event.key !== 'Enter' || !(event.ctrlKey || event.metaKey)) return;
      if ([...document.querySelectorAll('dialog[open]')].at(-1) !== ref.current) return;
      const main = ref.current?.querySelector<HTMLElement>('.dialog-body .button-main:not(:disabled)');
      if (!main) return;
      event.preventDefault();
      main.click();
    };
    globalThis.addEventListener('keydown', press, { capture: true });
    return () => globalThis.removeEventListener('keydown', press, { capture: true });
  }, []);
  return (
    <dialog
      ref={ref}
      aria-labelledby={id}
      className={wide ? 'dialog dialog-wide' : 'dialog'}
      onCancel={(event) => {
        event.preventDefault();
        // What was written here stands nowhere else yet: one Escape more throws it away.
        if (typed.current && !asked) setAsked(true);
        else onClose?.();
      }}
      onClose={() => {
        // The browser closes by itself on a second Escape without a word.
        if (gone.current) return;
        if (onClose) onClose();
        else ref.current?.showModal();
      }}
      onInput={(event) => {
        const { target } = event;
        if (target instanceof HTMLTextAreaElement) typed.current = target.value.trim() !== '';
        setAsked(false);
      }}
      onKeyDown={(event) => event.stopPropagation()}
    >
      <header className="dialog-head">
        <h2 id={id}>{title}</h2>
        {onClose ? (
          <Button look="quiet" onClick={onClose}>
            Close
          </Button>
        ) : null}
      </header>
      {asked ? (
        <p className="dialog-asked" role="alert">
          What you wrote here is not sent. Escape once more throws it away.
        </p>
      ) : null}
      <div className="dialog-body">{children}</div>
    </dialog>
  );
}
