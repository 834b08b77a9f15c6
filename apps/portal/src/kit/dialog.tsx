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
    if (dialog && !dialog.open) dialog.showModal();
    return () => dialog?.close();
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
