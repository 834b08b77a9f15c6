import { type CaseView, isWithReaders } from '@chordae/contract';
import { capital, planNames, sayReferralState, urgencyNames } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useMe } from '../../host/session';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Problem } from '../../kit/notice';
import { sayDue, sayMoment, useNow } from '../../kit/time';
import { sayPatientShort } from '../say-patient';
import { InterimDialog, PutBackDialog, TakeOverDialog, WishDialog } from './ask-dialogs';
import { type DeskKeys, showKey } from './desk-keys';
import { HandOverDialog } from './hand-over-dialog';

type Ask = 'interim' | 'wish' | 'put-back' | 'hand-over' | 'take-over';

/** Who, how soon, where it stands, and what may be done with it. */
export function DeskHead({ c, mayWrite, keys }: { c: CaseView; mayWrite: boolean; keys: DeskKeys }) {
  const { referral: r } = c;
  const now = useNow();
  const place = { practiceId: r.practiceId, referralId: r.id };
  const reread = useRereadCase(place);
  const [asking, setAsking] = useState<Ask | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const take = () =>
    call('takeReferral', { params: place, body: { base: r.revision } })
      .then(reread)
      .catch((error: unknown) => {
        setProblem(sentenceOf(error));
        void reread();
      });
  const me = useMe();
  const waiting = isWithReaders(r.state);
  const open = r.state === 'reading' || r.state === 'images-wanted';
  // Who reads blind must not learn or change what the first reader does.
  const blind = c.secondRead !== null && c.secondRead.signedAt === null;
  const close = () => setAsking(null);
  const unread = c.interims.filter((i) => i.readBackAt === null).length;
  return (
    <header className="desk-head">
      <Link to="/queue">Queue</Link>
      <div className="desk-who">
        <h1>{c.patient.name}</h1>
        <p className="hint">
          {sayPatientShort({ ...c.patient, weightKg: c.patient.weight?.weightKg ?? null })} · {r.practiceName}
          , referral {r.number} · {planNames[r.plan]}
        </p>
        <p className="hint">
          {r.urgency ? `${capital(urgencyNames[r.urgency])} · ` : ''}
          {sayReferralState(r.state).name}
          {waiting && r.dueAt && (r.state !== 'images-wanted' || r.urgency === 'emergency')
            ? ` · ${sayDue(r.dueAt, now)}`
            : ''}
          {r.state === 'images-wanted' && r.urgency !== 'emergency' ? ' · the clock stands still' : ''}
          {c.reader && open ? ` · ${c.reader.name} reads` : ''}
          {c.handedTo ? ` · handed to ${c.handedTo.name} by ${c.handedTo.by}: ${c.handedTo.reason}` : ''}
          {c.interims.length > 0
            ? ` · interim answer ${unread === 0 ? 'read by the practice' : `sent ${sayMoment(c.interims.at(-1)?.at ?? '')}, not read yet`}`
            : ''}
        </p>
        {problem ? <Problem>{problem}</Problem> : null}
      </div>
      <div className="row">
        {r.state === 'sent' && !blind ? (
          <Button look="main" data-action="take" keyHint={showKey(keys.take)} onClick={() => void take()}>
            Take
          </Button>
        ) : null}
        {r.state === 'answered' || r.state === 'closed' ? (
          <Link to="/p/$practiceId/r/$referralId/teaching" params={place}>
            Teaching
          </Link>
        ) : null}
        {waiting && !blind ? (
          <Button data-action="interim" keyHint={showKey(keys.interim)} onClick={() => setAsking('interim')}>
            Interim answer
          </Button>
        ) : null}
        {mayWrite && r.state === 'reading' ? (
          <Button data-action="rescan" keyHint={showKey(keys.rescan)} onClick={() => setAsking('wish')}>
            Ask for a rescan
          </Button>
        ) : null}
        {mayWrite ? (
          <>
            <Button
              look="quiet"
              data-action="hand-over"
              keyHint={showKey(keys['hand-over'])}
              onClick={() => setAsking('hand-over')}
            >
              Hand over
            </Button>
            <Button
              look="quiet"
              data-action="put-back"
              keyHint={showKey(keys['put-back'])}
              onClick={() => setAsking('put-back')}
            >
              Put back
            </Button>
          </>
        ) : null}
        {!blind && open && c.reader && c.reader.memberId !== me?.member.id ? (
          <Button look="quiet" onClick={() => setAsking('take-over')}>
            Take over
          </Button>
        ) : null}
      </div>
      {asking === 'interim' ? <InterimDialog c={c} onClose={close} /> : null}
      {asking === 'wish' ? <WishDialog c={c} onClose={close} /> : null}
      {asking === 'hand-over' ? <HandOverDialog c={c} onClose={close} /> : null}
      {asking === 'take-over' ? <TakeOverDialog c={c} onClose={close} /> : null}
      {asking === 'put-back' ? <PutBackDialog c={c} onClose={close} /> : null}
    </header>
  );
}
