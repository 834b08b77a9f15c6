import type { CaseView, OpinionDraft, OpinionText } from '@chordae/contract';
import { call } from '../../host/api';
import { keptKey } from '../../host/kept-text';
import { useRereadCase } from '../../host/use-case';
import { useWriting, type Writing } from '../../host/use-writing';
import { addKeyFrame, drawOnNote, type FrameOnStage } from '../../kit/writing/text-edits';

export interface OpinionWriting extends Omit<Writing<OpinionText>, 'shown' | 'change'> {
  /** The draft with what was typed and not yet confirmed. */
  readonly shown: OpinionDraft;
  readonly change: (make: (now: OpinionDraft) => Partial<OpinionText>) => void;
  /** false when there is no room for another key frame. */
  readonly addKeyFrame: (at: FrameOnStage) => boolean;
  readonly drawOnNote: (at: FrameOnStage) => void;
}

/** Writing in an opinion's draft. May be held above the panel, so that the stage can add frames while another tab is open. */
export function useOpinionWriting(c: CaseView, draft: OpinionDraft): OpinionWriting {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const writing = useWriting<OpinionText>(draft, {
    keepAs: (memberId) => keptKey(memberId, draft.id),
    send: (patch) => call('patchOpinion', { params: place, body: patch }),
    reread,
  });
  // Id and time of the draft are its own; only its text is written.
  const whole = (now: Writing<OpinionText>['shown']): OpinionDraft => ({ ...draft, ...now });
  const change: OpinionWriting['change'] = (make) => writing.change((now) => make(whole(now)));
  return {
    ...writing,
    shown: whole(writing.shown),
    change,
    addKeyFrame: (at) => {
      let room = true;
      writing.change((now) => {
        const fields = addKeyFrame(now, at);
        room = fields !== null;
        return fields ?? {};
      });
      return room;
    },
    drawOnNote: (at) => change((now) => drawOnNote(now, at)),
  };
}
