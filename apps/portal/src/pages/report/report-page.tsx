import type { CaseView } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { SIGNATURE_PENDING, sayReferralNumber } from '@chordae/words';
import { Link, useNavigate, useParams } from '@tanstack/react-router';
import { useEffect, useMemo } from 'react';
import { useWaitingSend } from '../../host/device';
import { maySend, practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { useCase } from '../../host/use-case';
import { PageOff } from '../../kit/failed';
import { Loading, Notice } from '../../kit/notice';
import { PageKeys, type PartKey, type PressKey } from '../../kit/page-keys';
import { sayDay, Time } from '../../kit/time';
import '../../styles/opinion.css';
import '../../styles/report.css';
import '../../styles/sheet.css';
import { RoundLine } from '../rounds/round-line';
import { sayPatient } from '../say-patient';
import { liveInput } from '../sheet/case-input';
import { SendingWaits } from '../sheet/sending-waits';
import { usePendingSignature } from './pending-signature';
import { ReportReader } from './report-reader';
import { ReportWriter } from './report-writer';

/** A scan report: written by who scanned while the case is a draft, read by the practice once it is signed. */
export function ReportPage() {
  const place = useParams({ from: '/members/in-shell/p/$practiceId/r/$referralId/report' });
  const { data, error, refetch } = useCase(place);
  const go = useNavigate();
  const reader = data?.side === 'group';
  useEffect(() => {
    if (reader) void go({ to: '/desk/$practiceId/$referralId', params: place, replace: true });
  }, [reader]);
  useTitle(data ? `Scan report, ${data.patient.name}` : 'Scan report');
  if (error && !data)
    return <PageOff title="This scan report cannot be shown" error={error} again={refetch} />;
  if (!data || reader)
    return (
      <div className="page">
        <Loading what="the scan report" />
      </div>
    );
  return <Report key={place.referralId} c={data} />;
}

const REPORT_PARTS: readonly PartKey[] = [
  { letter: 'T', name: 'Conclusion and what to do next', id: 'r-texts' },
  { letter: 'G', name: 'Findings', id: 'r-findings' },
  { letter: 'U', name: 'What this scan does not allow to conclude', id: 'r-open' },
];
const REPORT_PRESSES: readonly PressKey[] = [
  { chord: 'Ctrl Enter', does: 'Preview and sign' },
  { chord: 'Alt R', does: 'Back to the round of the day' },
  { chord: 'Alt S', does: 'To the sheet' },
  { chord: 'Alt C', does: 'Clips of the scan' },
  { chord: 'Alt N', does: 'Numbers of the scan' },
  { chord: 'Alt V', does: 'Views of the scan' },
];

function Report({ c }: { c: CaseView }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const mayScan = practicesOf(useMe()).some((p) => p.id === place.practiceId && maySend(p));
  const pending = usePendingSignature(c.referral.id);
  const asked = useWaitingSend(c.referral.id) !== null;
  const result = useMemo(
    () =>
      asked
        ? interpret(liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }))
        : null,
    [asked, c],
  );
  const scannedOn = c.scans.at(-1)?.scannedOn;
  const draft = c.referral.state === 'draft';
  return (
    <div className="report">
      <header className="report-head">
        <div>
          <h1>
            Scan report <span className="report-of">{c.patient.name}</span>
          </h1>
          <p className="hint">
            {sayPatient(c.patient)}. {sayReferralNumber(c.referral.number, 'Number')} of{' '}
            {c.referral.practiceName}
            {scannedOn ? `, scanned ${sayDay(scannedOn)}` : ''}.
          </p>
          {c.referral.question.trim() === '' ? null : (
            <p className="report-question">{c.referral.question}</p>
          )}
        </div>
        <Link to="/p/$practiceId/r/$referralId" params={place} data-key="Alt S">
          To the sheet
        </Link>
      </header>
      <RoundLine place={place} />
      {pending ? (
        <Notice level="look" live>
          <p>
            <b>{SIGNATURE_PENDING}</b> Signed on this device <Time at={pending.deviceSignedAt} />.
          </p>
          {pending.refused ? <p>{pending.refused}</p> : null}
        </Notice>
      ) : null}
      {result ? <SendingWaits c={c} result={result} /> : null}
      {draft && mayScan && !asked && (!pending || pending.refused) ? (
        <ReportWriter c={c} />
      ) : draft ? (
        <p className="empty">
          {pending
            ? 'Nothing can be changed while the signature waits.'
            : asked
              ? 'Nothing can be changed while the referral waits to be sent.'
              : 'Not signed yet.'}
        </p>
      ) : (
        <ReportReader c={c} />
      )}
      <PageKeys parts={REPORT_PARTS} presses={REPORT_PRESSES} />
    </div>
  );
}
