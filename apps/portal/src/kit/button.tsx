import type { ButtonHTMLAttributes, ReactNode } from 'react';

interface Props extends ButtonHTMLAttributes<HTMLButtonElement> {
  /** `main`: the one thing to do here; `plain`: beside it; `quiet`: in running text. */
  readonly look?: 'main' | 'plain' | 'quiet';
  /** Key that does the same, shown beside the words. */
  readonly keyHint?: string;
  /** Key by which the page presses this button itself. */
  readonly 'data-key'?: string;
  /** What pressing it answers, for keys that press it. */
  readonly 'data-answer'?: string;
  readonly children: ReactNode;
}

export function Button({ look = 'plain', keyHint, children, className = '', ...rest }: Props) {
  return (
    <button type="button" {...rest} className={`button button-${look} ${className}`}>
      <span>{children}</span>
      {keyHint ? (
        <kbd aria-hidden="true" className="key">
          {keyHint}
        </kbd>
      ) : null}
    </button>
  );
}
