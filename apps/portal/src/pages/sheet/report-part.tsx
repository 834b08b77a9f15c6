import type { CaseView } from '@chordae/contract';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Problem } from '../../kit/notice';
import type { ReportOffer, ReportOffers } from './report-offers';
import { reportOffers } from './report-offers';

/** Numbers of the machine's own reports: each is taken over by a person, none by itself. */
export function ReportPart({ c, editing }: { c: CaseView; editing: boolean }) {
  const reports = reportOffers(c);
  return (
    <>
      {reports.map((report) => (
        <OneReport key={report.arrivalId} c={c} report={report} editing={editing} />
      ))}
    </>
  );
}

const values = (count: number): string => `${count} ${count === 1 ? 'value' : 'values'}`;

function OneReport({ c, report, editing }: { c: CaseView; report: ReportOffers; editing: boolean }) {
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const open = report.offers.filter((offer) => !offer.taken);
  const take = (offers: readonly ReportOffer[]) => {
    setProblem(null);
    setBusy(true);
    const save = async () => {
      for (const { entry } of offers)
        await call('putMeasurement', { params: { ...place, measurementId: uuidv7() }, body: entry });
    };
    void save()
      .catch((error: unknown) => setProblem(sentenceOf(error)))
      .then(reread)
      .finally(() => setBusy(false));
  };
  return (
    <section aria-label={`Numbers of the machine in ${report.fileName}`}>
      <p className="row">
        <span>
          <b>{report.fileName}</b>: the machine measured {values(report.offers.length + report.others.length)}
          .
        </span>
        {editing && open.length > 1 ? (
          <Button disabled={busy} onClick={() => take(open)}>
            Take over all {open.length}
          </Button>
        ) : null}
      </p>
      {problem ? <Problem>{problem}</Problem> : null}
      <ul className="plain-list">
        {report.offers.map((offer) => (
          <li key={offer.key} className="row">
            <span>
              <span className="numbers">{offer.says}</span> <span className="hint">{offer.machineSays}</span>
            </span>
            {offer.taken ? (
              <span className="hint">the sheet has a value</span>
            ) : editing ? (
              <Button
                look="quiet"
                disabled={busy}
                aria-label={`Take over ${offer.says}`}
                onClick={() => take([offer])}
              >
                Take over
              </Button>
            ) : null}
          </li>
        ))}
      </ul>
      {report.others.length > 0 ? (
        <details>
          <summary>{values(report.others.length)} for reading only</summary>
          <ul className="plain-list">
            {report.others.map((text, n) => (
              <li key={`${n}-${text}`} className="hint">
                {text}
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </section>
  );
}
