import type { CaseView, OpinionDraft, OpinionText } from '@chordae/contract';
import { useEffect, useRef, useState } from 'react';
import { call } from '../../host/api';
import { browserShelf, keepText, keptKey, missingOnServer, readKept } from '../../host/kept-text';
import type { Fields, PatchQueueView } from '../../host/patch-queue';
import { useMe } from '../../host/session';
import { useRereadCase } from '../../host/use-case';
import { usePatchQueue } from '../../host/use-patch-queue';
import { addKeyFrame, drawOnNote, type FrameOnStage } from './opinion-edits';

export interface OpinionWriting {
  /** The draft with what was typed and not yet confirmed. */
  readonly shown: OpinionDraft;
  /** Sets fields; what a second key sets at once rests on what the first has set. */
  readonly change: (make: (now: OpinionDraft) => Partial<OpinionText>) => void;
  readonly saved: PatchQueueView;
  readonly resolve: (field: string, keep: 'yours' | 'theirs') => void;
  /** Saves the rest and gives the draft's revision as seen here. */
  readonly settle: () => Promise<number>;
  /** Typed before a reload or a crash, and not on the server. */
  readonly found: Partial<OpinionText> | null;
  readonly takeFound: () => void;
  readonly dropFound: () => void;
  /** false when there is no room for another key frame. */
  readonly addKeyFrame: (at: FrameOnStage) => boolean;
  readonly drawOnNote: (at: FrameOnStage) => void;
}

/**
 * Writing in an opinion's draft: saved by itself, kept in this browser until the server has confirmed it. May be held
 * above the panel, so that the stage can add frames while another tab is open.
 */
export function useOpinionWriting(c: CaseView, draft: OpinionDraft): OpinionWriting {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const saved = usePatchQueue(
    draft.revision,
    (patch) => call('patchOpinion', { params: place, body: patch }),
    reread,
  );
  const shown = useTyped(draft, saved.own);
  const latest = useRef(shown.now);
  latest.current = shown.now;
  const change: OpinionWriting['change'] = (make) => {
    const fields = make(latest.current);
    if (Object.keys(fields).length === 0) return;
    latest.current = { ...latest.current, ...fields };
    saved.queue.set(fields);
  };
  const kept = useKept(draft, saved);
  return {
    shown: shown.now,
    change,
    saved,
    resolve: (field, keep) => {
      if (keep === 'theirs') shown.letGo(field);
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
    addKeyFrame: (at) => {
      const fields = addKeyFrame(latest.current, at);
      if (fields) change(() => fields);
      return fields !== null;
    },
    drawOnNote: (at) => change((now) => drawOnNote(now, at)),
  };
}

/**
 * The draft with what was typed over it. A confirmed value stays until the draft that holds it has come: without that a
 * field would show its old text for a moment, and the caret, or a field just made, would be lost.
 */
function useTyped(draft: OpinionDraft, own: Fields) {
  const typed = useRef<{ revision: number; fields: Record<string, unknown> }>({ revision: 0, fields: {} });
  if (typed.current.revision !== draft.revision) typed.current = { revision: draft.revision, fields: {} };
  Object.assign(typed.current.fields, own);
  return {
    now: { ...draft, ...typed.current.fields } as OpinionDraft,
    letGo: (field: string) => {
      delete typed.current.fields[field];
    },
  };
}

/** Keeps what is not confirmed; finds, once, what an earlier page left behind. */
function useKept(draft: OpinionDraft, saved: PatchQueueView) {
  const me = useMe();
  const key = keptKey(me?.member.id ?? 'nobody', draft.id);
  const [found, setFound] = useState<Partial<OpinionText> | null>(() => {
    const missing = missingOnServer(readKept(browserShelf(), key), { ...draft });
    return Object.keys(missing).length > 0 ? (missing as Partial<OpinionText>) : null;
  });
  useEffect(() => {
    // Until somebody has chosen, what was found stays kept beside what is typed now.
    const fields = { ...found, ...saved.own };
    keepText(browserShelf(), key, { revision: draft.revision, fields, at: new Date().toISOString() });
  }, [key, saved.own, found]);
  return { found, drop: () => setFound(null) };
}
