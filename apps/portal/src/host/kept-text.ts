import type { Fields } from './patch-queue';

/** What was typed and not confirmed by the server, kept in this browser for the person who typed it. */
export interface KeptText {
  /** Revision of the row that it was typed on. */
  readonly revision: number;
  readonly fields: Fields;
  readonly at: string;
}

/** As much of the browser's storage as is needed here. */
export type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;

/** Kept by person and row: nobody else who signs in here is offered it. */
export function keptKey(memberId: string, rowId: string): string {
  return `chordae.kept.${memberId}.${rowId}`;
}

/** Keeps what is not confirmed yet, or lets go what was kept when everything is. Storage that is full or shut loses nothing else. */
export function keepText(shelf: Shelf | null, key: string, text: KeptText): void {
  try {
    if (Object.keys(text.fields).length === 0) shelf?.removeItem(key);
    else shelf?.setItem(key, JSON.stringify(text));
  } catch {
    // Private windows and full disks refuse: what is typed still goes to the server as usual.
  }
}

export function readKept(shelf: Shelf | null, key: string): KeptText | null {
  try {
    const kept = JSON.parse(shelf?.getItem(key) ?? 'null') as KeptText | null;
    return kept && typeof kept.fields === 'object' && kept.fields !== null ? kept : null;
  } catch {
    return null;
  }
}

/** Of what was kept, the fields that the server does not have: the rest arrived after all. */
export function missingOnServer(kept: KeptText | null, server: Fields): Fields {
  if (!kept) return {};
  return Object.fromEntries(
    Object.entries(kept.fields).filter(([field, value]) => canonical(value) !== canonical(server[field])),
  );
}

/** The same whatever the order of its keys: the server gives them back in its own. */
function canonical(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'undefined';
  const parts = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1));
  return `{${parts.map(([k, v]) => `${k}:${canonical(v)}`).join(',')}}`;
}

/** The browser's own storage, where it may be used. */
export function browserShelf(): Shelf | null {
  try {
    return globalThis.localStorage ?? null;
  } catch {
    return null;
  }
}
