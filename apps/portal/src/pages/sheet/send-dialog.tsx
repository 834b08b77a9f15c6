import type { SendingPreview } from '@chordae/contract';
import { capital, identityFieldNames, sayBlocker, urgencyNames } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { uploads } from '../../host/uploads/uploads';
import type { CasePlace } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextArea } from '../../kit/field';
import { Loading, Notice, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';

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
  const { data, error } = useQuery({
    queryKey: ['sending', place.practiceId, place.referralId],
    gcTime: 0,
    staleTime: 0,
    queryFn: async () => {
      await flush();
      return call('previewSending', { params: { ...place } });
    },
  });
  const send = async () => {
    setBusy(true);
    setProblem(null);
    try {
      const now = await call('getCase', { params: { ...place } });
      await call('sendReferral', {
        params: { ...place },
        body: { base: now.referral.revision, identityReason: reason.trim() === '' ? null : reason.trim() },
      });
      await onSent();
    } catch (failed) {
      setProblem(sentenceOf(failed));
      setBusy(false);
    }
  };
  const differs = data?.identity.some((i) => i.verdict === 'differs') ?? false;
  return (
    <Dialog title="Send this referral" onClose={onClose}>
      {error ? <Problem>{error.message}</Problem> : null}
      {data ? <Preview data={data} /> : error ? null : <Loading what="what stands in the way" />}
      {differs ? (
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
          disabled={busy || !data || data.blockers.length > 0 || (differs && reason.trim() === '')}
          onClick={() => void send()}
        >
          {busy ? 'Sending …' : 'Send now'}
        </Button>
        <Button onClick={onClose}>Not yet</Button>
      </p>
    </Dialog>
  );
}

function Preview({ data }: { data: SendingPreview }) {
  const differing = data.identity.filter((i) => i.verdict === 'differs');
  return (
    <>
      {data.blockers.map((b) => (
        <Notice key={`${b.code}-${JSON.stringify(b.data)}`} level="look">
          {sayBlocker(b.code, b.data)}
        </Notice>
      ))}
      {data.identity.length === 0 ? (
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
        <dt>Read</dt>
        <dd>
          {data.readNow
            ? 'The readers are there now.'
            : data.nextOpensAt
              ? `Nobody reads now; the readers are back ${sayMoment(data.nextOpensAt)}.`
              : 'No opening hours are known.'}
        </dd>
        <dt>Answer by</dt>
        <dd>{sayMoment(data.dueAt)}</dd>
        <dt>Telephone</dt>
        <dd>
          {data.groupPhone ? (
            <a href={`tel:${data.groupPhone.replace(/\s/g, '')}`}>{data.groupPhone}</a>
          ) : (
            'none on file'
          )}
        </dd>
        {data.readNow ? null : (
          <>
            <dt>Until then</dt>
            <dd>{data.emergencyContact || 'no emergency contact on file'}</dd>
          </>
        )}
      </dl>
      {data.urgencyThatStands === 'emergency' ? (
        <Notice level="act-now">
          Telephone as well{data.groupPhone ? `: ${data.groupPhone}` : ''}. Treat on your own judgement; do
          not wait for an opinion.
        </Notice>
      ) : null}
    </>
  );
}
