import { type CaseView, isUnsent } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { sayReferralState } from '@chordae/words';
import { useQueryClient } from '@tanstack/react-query';
import { Link, useNavigate } from '@tanstack/react-router';
import { useMemo, useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { useWaitingSend } from '../../host/device';
import { practicesOf, useMe } from '../../host/session';
import { useRereadCase } from '../../host/use-case';
import { usePaper } from '../../host/use-paper';
import { Button } from '../../kit/button';
import { Loading, Notice, Problem } from '../../kit/notice';
import { PaperPages } from '../../kit/paper-pages';
import { Messages } from '../../kit/thread';
import { PdfOfReport, SignedLine } from '../scan-report-words';
import { AskDialog } from '../sheet/ask-dialog';
import { liveInput } from '../sheet/case-input';
import { passedUp } from './flag-answers';
import { ReportAddendumDialog } from './sign-report-dialog';

/** A signed scan report as paper, and what the practice and its sonographer do with it. */
export function ReportReader({ c }: { c: CaseView }) {
  const report = c.report.signed.find((r) => r.kind === 'report');
  const asked = useWaitingSend(c.referral.id) !== null;
  if (!report)
    return (
      <p className="empty">
        No scan report was signed on this case.{' '}
        <Link
          to="/p/$practiceId/r/$referralId"
          params={{ practiceId: c.referral.practiceId, referralId: c.referral.id }}
        >
          Back to the sheet
        </Link>
      </p>
    );
  const up = passedUp(report.text).length;
  const unsent = isUnsent(c.referral.state);
  return (
    <div className="report-read">
      <div className="report-stands">
        <section className="part" aria-labelledby="r-stands">
          <h2 id="r-stands">Where it stands</h2>
          <p className="status-line">{sayReferralState(c.referral.state).sentence}</p>
          {c.report.signed.length > 1 ? (
            <Notice level="look">
              {c.report.signed.length === 2
                ? 'An addendum was'
                : `${c.report.signed.length - 1} addenda were`}{' '}
              signed after the report: read {c.report.signed.length === 2 ? 'it' : 'them'} below before you
              rely on it.
            </Notice>
          ) : null}
          {up > 0 && unsent && !asked ? (
            <Notice level="act-now" live>
              <p>
                <b>
                  {up === 1 ? 'One flag was' : `${up} flags were`} passed up, and no cardiologist has been
                  asked yet.
                </b>{' '}
                Ask now, and telephone what cannot wait.
              </p>
            </Notice>
          ) : null}
          <Acts c={c} signerId={report.signerId} />
        </section>
      </div>
      <div className="report-papers">
        {c.report.signed.map((r) => (
          <article
            key={r.id}
            className="stack-tight"
            aria-label={r.kind === 'report' ? 'Signed scan report' : 'Addendum'}
          >
            <SignedPaper c={c} signedId={r.id} adds={r.kind === 'addendum'} />
            <SignedLine r={r} />
            <PdfOfReport c={c} r={r} />
          </article>
        ))}
      </div>
      <div className="report-talk">
        <section className="part" aria-labelledby="r-thread">
          <h2 id="r-thread">Between the practice and who scanned</h2>
          <Talk c={c} signerId={report.signerId} />
        </section>
      </div>
    </div>
  );
}

function SignedPaper({ c, signedId, adds }: { c: CaseView; signedId: string; adds: boolean }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, signedId };
  const { blocks, problem } = usePaper(pathOf('reportPdf', params));
  if (problem) return <Problem>{problem}</Problem>;
  if (!blocks) return <Loading what="the pages" />;
  return <PaperPages c={c} blocks={blocks} label={adds ? 'Addendum' : 'The signed scan report'} whole />;
}

/** File it, add to it, pass it up; each for whom it is open. */
function Acts({ c, signerId }: { c: CaseView; signerId: string }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const client = useQueryClient();
  const go = useNavigate();
  const me = useMe();
  const roles = practicesOf(me).find((p) => p.id === place.practiceId)?.roles ?? [];
  const [open, setOpen] = useState<'ask' | 'add' | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const result = useMemo(
    () => interpret(liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} })),
    [c],
  );
  const changed = async () => {
    await reread();
    await client.invalidateQueries({ queryKey: ['referrals'] });
  };
  const file = () =>
    call('fileReport', { params: place, body: { base: c.referral.revision } })
      .then(changed)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  const mayFile = roles.some((r) => r === 'referring-vet' || r === 'manager');
  const mayScan = roles.some((r) => r === 'referring-vet' || r === 'sonographer');
  const mayAdd = mayScan && (me?.member.id === signerId || roles.includes('sonographer'));
  const { state } = c.referral;
  const asked = useWaitingSend(c.referral.id) !== null;
  return (
    <>
      <p className="row">
        {state === 'reported' && mayFile ? (
          <Button look="main" onClick={() => void file()}>
            I have read it: file it
          </Button>
        ) : null}
        {(state === 'reported' || state === 'filed') && mayScan && !asked ? (
          <Button onClick={() => setOpen('ask')}>Ask a cardiologist …</Button>
        ) : null}
        {mayAdd && state !== 'withdrawn' ? (
          <Button look="quiet" onClick={() => setOpen('add')}>
            Add an addendum …
          </Button>
        ) : null}
      </p>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="hint">
        <Link to="/p/$practiceId/r/$referralId" params={place}>
          {c.opinions.length > 0 ? 'The opinion, the clips and all numbers' : 'The clips and all numbers'}
        </Link>
      </p>
      {open === 'add' ? <ReportAddendumDialog c={c} onClose={() => setOpen(null)} /> : null}
      {open === 'ask' ? (
        <AskDialog
          c={c}
          result={result}
          onClose={() => setOpen(null)}
          onSent={async () => {
            await changed();
            await go({ to: '/p/$practiceId/r/$referralId', params: place });
          }}
        />
      ) : null}
    </>
  );
}

function Talk({ c, signerId }: { c: CaseView; signerId: string }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const me = useMe();
  const roles = practicesOf(me).find((p) => p.id === place.practiceId)?.roles ?? [];
  const answers = me?.member.id === signerId || !roles.some((r) => r === 'referring-vet' || r === 'manager');
  return (
    <Messages
      messages={c.report.thread.map((m) => ({
        ...m,
        who: m.side === 'practice' ? 'practice' : 'who scanned',
      }))}
      empty="Nothing has been asked about this report."
      label={answers ? 'To the practice' : 'To who scanned'}
      mayWrite={roles.length > 0}
      send={(messageId, text) =>
        call('putReportMessage', { params: { ...place, messageId }, body: { text } }).then(reread)
      }
    />
  );
}
