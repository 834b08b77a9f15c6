import type { PatchReply } from '@chordae/contract';
import { useEffect, useRef, useState } from 'react';
import { browserShelf, keepText, missingOnServer, readKept } from './kept-text';
import type { Fields, Patch, PatchQueueView } from './patch-queue';
import { useMe } from './session';
import { usePatchQueue } from './use-patch-queue';

/** A draft as the server gave it: its fields, and the revision they stand at. */
export type Written<T> = T & { readonly revision: number };

export interface Writing<T> {
  /** The draft with what was typed and not yet confirmed. */
  readonly shown: Written<T>;
  /** Sets fields; what a second key sets at once rests on what the first has set. */
  readonly change: (make: (now: Written<T>) => Partial<T>) => void;
  readonly saved: PatchQueueView;
  readonly resolve: (field: string, keep: 'yours' | 'theirs') => void;
  /** Saves the rest and gives the draft's revision as seen here. */
  readonly settle: () => Promise<number>;
  /** Typed before a reload or a crash, and not on the server. */
  readonly found: Partial<T> | null;
  readonly takeFound: () => void;
  readonly dropFound: () => void;
}

/** Writing in a draft: saved by itself, kept in this browser, under the person's name, until the server has confirmed it. */
export function useWriting<T extends object>(
  draft: Written<T>,
  options: {
    /** Name under which the browser keeps what is not confirmed. */
    readonly keepAs: (memberId: string) => string;
    readonly send: (patch: Patch) => Promise<PatchReply>;
    readonly reread: () => Promise<unknown>;
    /** Name of the row on this device, where its writes may wait there. */
    readonly row?: string;
  },
): Writing<T> {
  const saved = usePatchQueue(draft.revision, options.send, options.reread, options.row);
  const typed = useTyped(draft, saved.own);
  const latest = useRef(typed.now);
  latest.current = typed.now;
  const change: Writing<T>['change'] = (make) => {
    const fields = make(latest.current);
    if (Object.keys(fields).length === 0) return;
    latest.current = { ...latest.current, ...fields };
    saved.queue.set(fields as Fields);
  };
  const kept = useKept(draft, saved, options.keepAs);
  return {
    shown: typed.now,
    change,
    saved,
    resolve: (field, keep) => {
      if (keep === 'theirs') typed.letGo(field);
      saved.queue.resolve(field, keep);
    },
    settle: () => saved.queue.settle(),
    found: kept.found,
    takeFound: () => {
      const { found } = kept;
      kept.drop();
      if (found) change(() => found);
    },
    dropFound: kept.drop,
  };
}

/**
 * The draft with what was typed over it. A confirmed value stays until the draft that holds it has come: without that a
 * field would show its old text for a moment, and the caret, or a field just made, would be lost.
 */
function useTyped<T extends object>(draft: Written<T>, own: Fields) {
  const typed = useRef<{ revision: number; fields: Record<string, unknown> }>({ revision: 0, fields: {} });
  if (typed.current.revision !== draft.revision) typed.current = { revision: draft.revision, fields: {} };
  Object.assign(typed.current.fields, own);
  return {
    now: { ...draft, ...typed.current.fields } as Written<T>,
    letGo: (field: string) => {
      delete typed.current.fields[field];
    },
  };
}

/** Keeps what is not confirmed; finds, once, what an earlier page left behind. */
function useKept<T extends object>(
  draft: Written<T>,
  saved: PatchQueueView,
  keepAs: (memberId: string) => string,
) {
  const me = useMe();
  const key = keepAs(me?.member.id ?? 'nobody');
  const [found, setFound] = useState<Partial<T> | null>(() => {
    const missing = missingOnServer(readKept(browserShelf(), key), { ...draft });
    return Object.keys(missing).length > 0 ? (missing as Partial<T>) : null;
  });
  useEffect(() => {
    // Until somebody has chosen, what was found stays kept beside what is typed now.
    const fields = { ...found, ...saved.own };
    keepText(browserShelf(), key, { revision: draft.revision, fields, at: new Date().toISOString() });
  }, [key, saved.own, found]);
  return { found, drop: () => setFound(null) };
}
