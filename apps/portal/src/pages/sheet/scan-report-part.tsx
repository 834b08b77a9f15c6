import type { CaseView } from '@chordae/contract';
import { Link, useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { usePendingSignature } from '../report/pending-signature';
import { ScanReportWords } from '../scan-report-words';

/** The signed scan report among what a case holds; the paper itself, its thread and filing are on a page of its own. */
export function ScanReportPart({ c }: { c: CaseView }) {
  if (c.report.signed.length === 0) return null;
  return (
    <section className="part" aria-labelledby="p-scan-report">
      <h2 id="p-scan-report">Scan report</h2>
      <ScanReportWords c={c} />
      <p>
        <Link
          to="/p/$practiceId/r/$referralId/report"
          params={{ practiceId: c.referral.practiceId, referralId: c.referral.id }}
        >
          As paper, with questions and filing
        </Link>
      </p>
    </section>
  );
}

/** On to the report of who scanned, once everything typed here is saved. */
export function WriteReportLink({
  c,
  flush,
  main = false,
}: {
  c: CaseView;
  flush: () => Promise<void>;
  /** The one thing to do next, rather than something beside sending. */
  main?: boolean;
}) {
  const go = useNavigate();
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const open = () => {
    setBusy(true);
    setProblem(null);
    flush()
      .then(() =>
        go({
          to: '/p/$practiceId/r/$referralId/report',
          params: { practiceId: c.referral.practiceId, referralId: c.referral.id },
        }),
      )
      .catch((error: unknown) => {
        setProblem(sentenceOf(error));
        setBusy(false);
      });
  };
  const pending = usePendingSignature(c.referral.id);
  const words =
    pending && !pending.refused
      ? 'To the scan report'
      : c.report.draft
        ? 'Go on with the scan report'
        : 'Write the scan report';
  const button = (
    <Button
      look={main ? 'main' : 'quiet'}
      disabled={busy}
      onClick={open}
      {...(main ? { 'data-key': 'Ctrl Enter', keyHint: 'Ctrl Enter' } : {})}
    >
      {words}
    </Button>
  );
  if (main)
    return (
      <>
        {problem ? (
          <span className="problem" role="alert">
            {problem}
          </span>
        ) : null}
        {button}
      </>
    );
  return (
    <section className="part" aria-label="A report of your own">
      <p className="hint">Or report on this scan yourself: a cardiologist may still be asked afterwards.</p>
      <p>{button}</p>
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
    </section>
  );
}
