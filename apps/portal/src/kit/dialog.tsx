import type { ReactNode } from 'react';
import { useEffect, useId, useRef } from 'react';
import { Button } from './button';

/** A dialog over the page: focus stays inside, Escape closes it, the page behind keeps its state. */
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
  useEffect(() => {
    const dialog = ref.current;
    const before = document.activeElement;
    if (dialog && !dialog.open) dialog.showModal();
    // The first thing to fill in, not the button that closes.
    const field = dialog?.querySelector<HTMLElement>(
      '.dialog-body :is(input:not([type=file]), textarea, select):not(:disabled)',
    );
    field?.focus();
    return () => {
      dialog?.close();
      // The dialog is gone from the page by now: the browser gives the focus back to nobody.
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={ref}
      aria-labelledby={id}
      className={wide ? 'dialog dialog-wide' : 'dialog'}
      onCancel={(event) => {
        event.preventDefault();
        onClose?.();
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
      <div className="dialog-body">{children}</div>
    </dialog>
  );
}
