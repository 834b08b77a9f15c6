import { type CaseView, opinionTextOf, type SignedReport } from '@chordae/contract';
import { flagAnswerSaid, REPORT_NOT_SPECIALIST, sayFlag } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { pathOf } from '../host/api';
import { Time } from '../kit/time';
import { OpinionWords } from './sheet/opinion-part';

/** What who scanned wrote and signed, for whoever reads the case: headed as what it is, never as an opinion. */
export function ScanReportWords({ c }: { c: CaseView }) {
  return (
    <>
      <p className="hint">{REPORT_NOT_SPECIALIST}</p>
      {c.report.signed.map((r) => (
        <article
          key={r.id}
          className="stack"
          aria-label={r.kind === 'report' ? 'Signed scan report' : 'Addendum to the scan report'}
        >
          {r.kind === 'report' ? (
            <>
              <AnsweredFlags c={c} r={r} />
              <OpinionWords c={c} text={opinionTextOf(r.text)} />
            </>
          ) : (
            <div>
              <h3>Addendum</h3>
              <p className="answer-text">{r.text.conclusion}</p>
            </div>
          )}
          <SignedLine r={r} />
          <PdfOfReport c={c} r={r} />
        </article>
      ))}
    </>
  );
}

/** Who signed, when it counted and, where that was days later, when it was signed on the device. */
export function SignedLine({ r }: { r: SignedReport }) {
  return (
    <p className="hint">
      Signed by {r.signerName}, <Time at={r.signedAt} />
      {signedElsewhere(r) && r.deviceSignedAt ? (
        <>
          {' '}
          (on a device <Time at={r.deviceSignedAt} />, by its own clock)
        </>
      ) : null}
      . SHA-256{' '}
      <Link to="/verify/$sha256" params={{ sha256: r.sha256 }}>
        {r.sha256.slice(0, 16)}…
      </Link>
    </p>
  );
}

function signedElsewhere(r: SignedReport): boolean {
  return (
    r.deviceSignedAt !== null && Math.abs(Date.parse(r.signedAt) - Date.parse(r.deviceSignedAt)) > 10 * 60_000
  );
}

export function PdfOfReport({ c, r }: { c: CaseView; r: SignedReport }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, signedId: r.id };
  if (!r.pdfSha256)
    return (
      <p className="hint" role="status">
        The PDF is being made.
      </p>
    );
  return (
    <p>
      <a className="button button-plain" href={pathOf('reportPdf', params)} download>
        Download the {r.kind === 'addendum' ? 'addendum' : 'scan report'} (PDF)
      </a>
    </p>
  );
}

/** Flags that could not wait, each with what who scanned made of it. */
function AnsweredFlags({ c, r }: { c: CaseView; r: SignedReport }) {
  const flags = c.interpretation?.flags ?? [];
  if (r.text.flagAnswers.length === 0) return null;
  return (
    <div>
      <h3>What could not wait</h3>
      <ul className="plain-list">
        {r.text.flagAnswers.map((a) => {
          const flag = flags.find((f) => f.key === a.flagKey);
          return (
            <li key={a.flagKey}>
              <b>{flagAnswerSaid[a.answer]}:</b>{' '}
              {flag ? sayFlag(flag).sentence : 'a flag of the day it was signed.'}
              {a.reason.trim() === '' ? '' : ` ${a.reason}`}
            </li>
          );
        })}
      </ul>
    </div>
  );
}
