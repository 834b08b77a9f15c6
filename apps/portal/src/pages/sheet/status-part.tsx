import type { CaseView } from '@chordae/contract';
import { capital, sayReferralState, urgencyNames } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { Notice, Problem } from '../../kit/notice';
import { sayDue, sayMoment, useNow } from '../../kit/time';

/** After these an untaken emergency is said aloud, as on the server (common practice). */
const WAITS_MINUTES = 10;

/** Where the referral stands, and what one may do about it. */
export function StatusPart({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const { referral: r, agreement } = c;
  const now = useNow();
  const [withdrawing, setWithdrawing] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const place = { practiceId: r.practiceId, referralId: r.id };
  const reread = useRereadCase(place);
  const close = () =>
    call('closeReferral', { params: place, body: { base: r.revision } })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  const waited =
    r.urgency === 'emergency' && r.state === 'sent' && r.sentAt && c.interims.length === 0
      ? Math.floor((now - Date.parse(r.sentAt)) / 60_000)
      : null;
  const open = r.state === 'sent' || r.state === 'reading' || r.state === 'images-wanted';
  return (
    <section className="part" aria-labelledby="p-status">
      <h2 id="p-status" className="hidden">
        Status
      </h2>
      <p className="status-line">
        {capital(sayReferralState(r.state).name)}. {sayReferralState(r.state).sentence}
      </p>
      <p className="hint">
        {r.urgency ? `${capital(urgencyNames[r.urgency])}. ` : ''}
        {r.sentAt ? `Sent ${sayMoment(r.sentAt)}. ` : ''}
        {open && r.dueAt && r.state !== 'images-wanted' ? `Answer ${sayDue(r.dueAt, now)}. ` : ''}
        {c.reader ? `${c.reader.name} reads since ${sayMoment(c.reader.since)}. ` : ''}
        {open && agreement?.groupPhone ? (
          <>
            Telephone of {agreement.groupName}:{' '}
            <a href={`tel:${agreement.groupPhone}`}>{agreement.groupPhone}</a>
          </>
        ) : null}
      </p>
      {waited !== null && waited >= WAITS_MINUTES ? (
        <Notice level="act-now" live>
          <p className="answer-text">
            Nobody has taken this emergency for {waited} minutes. Treat on your own judgement; do not wait for
            an answer.
          </p>
          <p>
            {agreement?.groupPhone ? (
              <>
                Telephone {agreement.groupName}:{' '}
                <a href={`tel:${agreement.groupPhone}`}>{agreement.groupPhone}</a>.{' '}
              </>
            ) : null}
            {agreement?.emergencyContact ? `Nearest emergency contact: ${agreement.emergencyContact}.` : ''}
          </p>
        </Notice>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      {mayAct && (open || r.state === 'draft' || r.state === 'answered') ? (
        <p className="row">
          {r.state === 'answered' ? <Button onClick={() => void close()}>Close the referral</Button> : null}
          {open || r.state === 'draft' ? (
            <Button look="quiet" onClick={() => setWithdrawing(true)}>
              Withdraw
            </Button>
          ) : null}
        </p>
      ) : null}
      {withdrawing ? <WithdrawDialog c={c} onClose={() => setWithdrawing(false)} /> : null}
    </section>
  );
}

function WithdrawDialog({ c, onClose }: { c: CaseView; onClose: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const withdraw = async () => {
    try {
      await call('withdrawReferral', { params: place, body: { base: c.referral.revision, reason } });
      await reread();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
      await reread();
    }
  };
  return (
    <Dialog title="Withdraw this referral" onClose={onClose}>
      <p>Nobody will read it. What is here stays on record.</p>
      <TextArea
        label="Reason"
        rows={2}
        value={reason}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        <Button look="main" disabled={reason.trim() === ''} onClick={() => void withdraw()}>
          Withdraw the referral
        </Button>
      </p>
    </Dialog>
  );
}

/** Two lines ahead of the opinion, and the vet's word that they were read. */
export function InterimPart({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [problem, setProblem] = useState<string | null>(null);
  if (c.interims.length === 0) return null;
  const read = (interimId: string) =>
    call('readBack', { params: { ...place, interimId }, body: {} })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  return (
    <section className="part" aria-labelledby="p-interim">
      <h2 id="p-interim">Interim answer</h2>
      {c.interims.map((interim) => (
        <Notice key={interim.id} level={interim.readBackAt ? 'note' : 'act-now'}>
          <p className="answer-text">{interim.text}</p>
          <p className="hint">
            {interim.signerName}, {sayMoment(interim.at)}
            {interim.readBackAt
              ? ` · read by ${interim.readBackBy ?? 'the practice'}, ${sayMoment(interim.readBackAt)}`
              : ''}
          </p>
          {mayAct && !interim.readBackAt ? (
            <p>
              <Button look="main" onClick={() => void read(interim.id)}>
                I have read this
              </Button>
            </p>
          ) : null}
        </Notice>
      ))}
      {problem ? <Problem>{problem}</Problem> : null}
    </section>
  );
}
