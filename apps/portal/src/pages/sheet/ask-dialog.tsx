import type { CaseView, Interpretation, Urgency } from '@chordae/contract';
import { urgencyNames } from '@chordae/words';
import { type FormEvent, useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useMe } from '../../host/session';
import { type CasePlace, useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Choices, TextArea } from '../../kit/field';
import { Notice } from '../../kit/notice';
import { SendDialog } from './send-dialog';

const RANK: Record<Urgency, number> = { emergency: 0, urgent: 1, routine: 2 };

/**
 * From a scan to a referral: who shall read it, what is asked, how soon; then what stands in the way, and sending. All of
 * the scan goes along as it is.
 */
export function AskDialog({
  c,
  result,
  flush = () => Promise.resolve(),
  onClose,
  onSent,
}: {
  c: CaseView;
  result: Interpretation;
  /** Saves what is typed on the page behind. */
  flush?: () => Promise<void>;
  onClose: () => void;
  onSent: () => Promise<void>;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const [asked, setAsked] = useState(false);
  const before = useRef(c.referral.groupId);
  const reread = useRereadCase(place);
  /** Nobody was asked in the end: the scan goes back to being nobody's question. */
  const leave = () => {
    onClose();
    if (before.current === null) void forget(place).then(reread, reread);
  };
  if (asked) return <SendDialog place={place} flush={flush} onClose={leave} onSent={onSent} />;
  return <Ask c={c} result={result} flush={flush} onClose={onClose} onAsked={() => setAsked(true)} />;
}

async function forget(place: CasePlace): Promise<void> {
  const now = await call('getCase', { params: { ...place } });
  if (now.referral.sentAt !== null) return;
  await call('patchReferral', {
    params: { ...place },
    body: { base: now.referral.revision, fields: { groupId: null } },
  });
}

function Ask({
  c,
  result,
  flush,
  onClose,
  onAsked,
}: {
  c: CaseView;
  result: Interpretation;
  flush: () => Promise<void>;
  onClose: () => void;
  onAsked: () => void;
}) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const groups = (useMe()?.agreements ?? []).filter((a) => a.practiceId === place.practiceId);
  const [chosen, setChosen] = useState<string | null>(c.referral.groupId);
  const groupId = chosen ?? (groups.length === 1 ? (groups[0]?.groupId ?? null) : null);
  const [question, setQuestion] = useState(c.referral.question);
  const [urgency, setUrgency] = useState<Urgency | null>(c.referral.urgencyAsked);
  const [reason, setReason] = useState(c.referral.urgencyReason);
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const lower = urgency !== null && RANK[urgency] > RANK[result.urgencyProposed];
  const save = async () => {
    if (!groupId) throw new Error('Choose the reading group that shall read it.');
    if (question.trim() === '') throw new Error('Write in one sentence what you want to know.');
    await flush();
    const now = await call('getCase', { params: place });
    const { conflicts } = await call('patchReferral', {
      params: place,
      body: {
        base: now.referral.revision,
        fields: { groupId, question, urgencyAsked: urgency, urgencyReason: lower ? reason : '' },
      },
    });
    if (conflicts.length > 0)
      throw new Error('Somebody else changed this meanwhile. Close this, look at the change, and ask again.');
    await reread();
    onAsked();
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    setBusy(true);
    setProblem(null);
    save().catch((error: unknown) => {
      setProblem(sentenceOf(error));
      setBusy(false);
    });
  };
  return (
    <Dialog title="Ask a cardiologist" onClose={onClose}>
      <p>
        Clips, numbers and what was told go along
        {c.report.signed.length > 0 ? ', and the signed scan report' : ''}. The keeper, and what you and the
        practice wrote to each other, stay here.
      </p>
      {groups.length === 0 ? (
        <Notice level="look">
          This practice has no agreement with a reading group yet: ask its manager for one.
        </Notice>
      ) : (
        <form className="stack" onSubmit={submit}>
          <Choices
            label="Read by"
            choices={groups.map((g) => [g.groupId, g.groupName] as const)}
            value={groupId}
            onChoose={setChosen}
          />
          <TextArea
            label="What you want to know"
            rows={3}
            maxLength={2000}
            value={question}
            onChange={(e) => setQuestion(e.target.value)}
          />
          <Choices
            label="How soon do you need it"
            choices={(['emergency', 'urgent', 'routine'] as const).map((u) => [u, urgencyNames[u]] as const)}
            value={urgency}
            hint={`Proposed from what stands here: ${urgencyNames[result.urgencyProposed]}. The higher of the two stands.`}
            onChoose={(u) => setUrgency(u as Urgency)}
          />
          {lower ? (
            <TextArea
              label="Why less urgent than proposed"
              hint="Without a reason the proposed urgency stands."
              rows={2}
              maxLength={600}
              value={reason}
              onChange={(e) => setReason(e.target.value)}
            />
          ) : null}
          {problem ? (
            <p className="problem" role="alert">
              {problem}
            </p>
          ) : null}
          <p className="row">
            <Button type="submit" look="main" disabled={busy}>
              Look over and send …
            </Button>
            <Button onClick={onClose}>Not yet</Button>
          </p>
        </form>
      )}
    </Dialog>
  );
}
