import {
  capital,
  identityFieldNames,
  SENDING_NO_NETWORK,
  SENDING_TREAT,
  sayBlocker,
  urgencyNames,
} from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useEffect, useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { device, refusedSends } from '../../host/device';
import { uploads } from '../../host/uploads/uploads';
import type { CasePlace } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { Loading, Notice, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';
import { type LookedOver, lookOver } from './look-over';
import { PhoneLink, Telephones } from './telephones';

/** What stands in the way, do the names agree, and who reads when. */
export function SendDialog({
  place,
  flush,
  onClose,
  onSent,
}: {
  place: CasePlace;
  flush: () => Promise<void>;
  onClose: () => void;
  onSent: () => Promise<void>;
}) {
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  // On a slow line the question goes before the clips.
  useEffect(() => uploads.keepLineFree(), []);
  // Made once: a request repeated after a lost reply sends nothing twice.
  const sendingId = useRef(uuidv7());
  const { data, error } = useQuery({
    queryKey: ['sending', place.practiceId, place.referralId],
    gcTime: 0,
    staleTime: 0,
    queryFn: async () => {
      await flush();
      return lookOver(place);
    },
  });
  const differing = data?.preview.identity.filter((i) => i.verdict === 'differs').length ?? 0;
  const send = async (seen: LookedOver) => {
    setBusy(true);
    setProblem(null);
    try {
      // What was refused before is looked over anew: this one takes its place.
      for (const old of refusedSends(place.referralId)) await device.outbox.throwAway(old.seq);
      await call('sendReferral', {
        params: { ...place },
        body: {
          base: seen.base,
          inputHash: seen.inputHash,
          identityReason: reason.trim() === '' ? null : reason.trim(),
          differencesSeen: differing,
          sendingId: sendingId.current,
        },
      });
      await onSent();
    } catch (failed) {
      setProblem(sentenceOf(failed));
      setBusy(false);
    }
  };
  return (
    <Dialog title="Send this referral" onClose={onClose}>
      {error ? <Problem>{error.message}</Problem> : null}
      {data ? <Preview seen={data} /> : error ? null : <Loading what="what stands in the way" />}
      {differing > 0 ? (
        <TextArea
          label="Why it is the right patient"
          rows={2}
          value={reason}
          onChange={(e) => setReason(e.target.value)}
        />
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button
          look="main"
          disabled={
            busy || !data || data.preview.blockers.length > 0 || (differing > 0 && reason.trim() === '')
          }
          onClick={() => data && void send(data)}
        >
          {data && data.times === null ? 'Send when there is a network' : busy ? 'Sending …' : 'Send now'}
        </Button>
        <Button onClick={onClose}>Not yet</Button>
      </p>
    </Dialog>
  );
}

function Preview({ seen }: { seen: LookedOver }) {
  const { preview: data, times, groupName } = seen;
  const emergency = data.urgencyThatStands === 'emergency';
  const differing = data.identity.filter((i) => i.verdict === 'differs');
  const empty = data.blockers.some((b) => b.code === 'NOTHING_TO_READ');
  return (
    <>
      {times ? null : (
        <Notice level={emergency ? 'act-now' : 'look'}>
          <p>
            <b>{SENDING_NO_NETWORK}</b>
          </p>
          <Telephones phone={data.groupPhone} groupName={groupName} contact={data.emergencyContact} />
          {emergency ? <p>{SENDING_TREAT}</p> : null}
        </Notice>
      )}
      {data.blockers.map((b) => (
        <Notice key={`${b.code}-${JSON.stringify(b.data)}`} level="look">
          {sayBlocker(b.code, b.data)}
        </Notice>
      ))}
      {empty ? null : data.identity.length === 0 ? (
        <p>The files carry no name, species, sex, weight or date to compare.</p>
      ) : differing.length === 0 ? (
        <p>What the files say about the patient agrees with the referral.</p>
      ) : (
        <Notice level="look">
          <p>
            <b>Files and referral differ.</b> Is it the right patient?
          </p>
          <ul className="small-list">
            {differing.map((i) => (
              <li key={`${i.clipId}-${i.field}`}>
                {i.fileName}: {identityFieldNames[i.field]} in the file ‘{i.inFile}’, in the referral ‘
                {i.inReferral}’
              </li>
            ))}
          </ul>
        </Notice>
      )}
      {data.stillArriving > 0 ? (
        <p>
          {data.stillArriving} {data.stillArriving === 1 ? 'file is' : 'files are'} still on the way and will
          follow.
        </p>
      ) : null}
      <dl className="facts">
        <dt>Urgency</dt>
        <dd>
          {capital(urgencyNames[data.urgencyThatStands])}
          {data.urgencyThatStands === data.urgencyProposed
            ? ''
            : `; proposed: ${urgencyNames[data.urgencyProposed]}`}
        </dd>
        {times ? (
          <>
            <dt>Read</dt>
            <dd>
              {times.readNow
                ? 'The readers are there now.'
                : times.nextOpensAt
                  ? `Nobody reads now; the readers are back ${sayMoment(times.nextOpensAt)}.`
                  : 'No opening hours are known.'}
            </dd>
            <dt>Answer by</dt>
            <dd>{sayMoment(times.dueAt)}</dd>
          </>
        ) : (
          <>
            <dt>Answer by</dt>
            <dd>The time begins when it has been sent.</dd>
          </>
        )}
        <dt>Telephone</dt>
        <dd>{data.groupPhone ? <PhoneLink phone={data.groupPhone} /> : 'none on file'}</dd>
        {times?.readNow ? null : (
          <>
            <dt>Until then</dt>
            <dd>{data.emergencyContact || 'no emergency contact on file'}</dd>
          </>
        )}
      </dl>
      {emergency && times ? (
        <Notice level="act-now">
          Telephone as well{data.groupPhone ? `: ${data.groupPhone}` : ''}. Treat on your own judgement; do
          not wait for an opinion.
        </Notice>
      ) : null}
    </>
  );
}
