import { CAUTION_LINE } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';

/** A sentence that the reader should not miss. The weight of its rule says how much. */
export function Notice({
  level = 'note',
  children,
  live = false,
}: {
  level?: 'act-now' | 'look' | 'note';
  children: ReactNode;
  live?: boolean;
}) {
  return (
    <div className={`notice notice-${level}`} role={live ? 'status' : undefined}>
      {children}
    </div>
  );
}

export function Problem({ children }: { children: ReactNode }) {
  return (
    <div className="notice notice-look" role="alert">
      {children}
    </div>
  );
}

/** The caution that every screen with computed conclusions carries. */
export function CautionLine() {
  return (
    <p className="caution">
      {CAUTION_LINE} <Link to="/how">How this is computed</Link>
    </p>
  );
}

export function Loading({ what }: { what: string }) {
  return (
    <p className="loading" role="status">
      Loading {what} …
    </p>
  );
}
