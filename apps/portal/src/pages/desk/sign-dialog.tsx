import type { CaseView, OpinionDraft } from '@chordae/contract';
import { TO_BE_CHECKED } from '@chordae/words';
import { useRef } from 'react';
import { call } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Dialog } from '../../kit/dialog';
import { Notice } from '../../kit/notice';
import { AddendumForm, SignForm } from '../../kit/sign-form';
import { OpinionPreview } from './opinion-preview';

/** Signing shows the paper as it will be and asks for the password again; afterwards the text never changes. */
export function SignDialog({
  c,
  draft,
  settle,
  onClose,
}: {
  c: CaseView;
  draft: OpinionDraft;
  /** Saves the rest and gives the draft's revision as seen here. */
  settle: () => Promise<number>;
  onClose: () => void;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const signedId = useRef(uuidv7());
  const sign = async (password: string) => {
    const draftRevision = await settle();
    const now = await call('getCase', { params: place });
    await call('signOpinion', {
      params: place,
      body: {
        base: now.referral.revision,
        draftRevision,
        inputHash: c.interpretation?.inputHash ?? null,
        signedId: signedId.current,
        password,
      },
    });
    await reread();
    onClose();
  };
  return (
    <Dialog title="Sign the opinion" onClose={onClose} wide>
      <p>
        For {c.patient.name}, referral {c.referral.number} of {c.referral.practiceName}. After signing only an
        addendum can follow.
      </p>
      <BeforeSigning c={c} draft={draft} />
      <SignForm onSign={sign} />
      <OpinionPreview c={c} settle={settle} />
    </Dialog>
  );
}

/** What would be refused, or what one may have overlooked. */
function BeforeSigning({ c, draft }: { c: CaseView; draft: OpinionDraft }) {
  const unanswered = (c.interpretation?.flags ?? []).filter(
    (f) => f.level === 'act-now' && !c.flagAnswers.some((a) => a.flagKey === f.key),
  ).length;
  const empty = Object.values(draft.findings).filter(
    (f) => f.state === 'described' && f.text.trim() === '',
  ).length;
  return (
    <>
      {unanswered > 0 ? (
        <Notice level="look">
          {unanswered} act-now {unanswered === 1 ? 'flag has' : 'flags have'} no answer yet: keep or set aside
          under ‘Numbers’ first.
        </Notice>
      ) : null}
      {draft.conclusion.trim() === '' ? (
        <Notice level="look">There is no conclusion yet: an opinion cannot be signed without one.</Notice>
      ) : null}
      {empty > 0 ? (
        <Notice level="look">
          {empty === 1 ? '1 structure is' : `${empty} structures are`} described without words.
        </Notice>
      ) : null}
      {draft.keeperPage.includes(TO_BE_CHECKED) ? (
        <Notice level="look">The page for the keeper still carries its mark ‘to be checked’.</Notice>
      ) : null}
    </>
  );
}

export function AddendumDialog({ c, onClose }: { c: CaseView; onClose: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const signedId = useRef(uuidv7());
  const released = c.opinions.some((o) => o.keeperReleasedAt !== null);
  const sign = async (text: string, password: string) => {
    await call('signAddendum', { params: place, body: { signedId: signedId.current, text, password } });
    await reread();
    onClose();
  };
  return (
    <Dialog title="Addendum" onClose={onClose}>
      {released ? (
        <Notice level="note">
          The page for the keeper was released already: it will say that something was added since.
        </Notice>
      ) : null}
      <AddendumForm onSign={sign} />
    </Dialog>
  );
}
