import type { CaseView, Interpretation, StateAtScan } from '@chordae/contract';
import { knownState } from '@chordae/interpretation';
import { capital, observationNames, planNames, sayStateValue, stateNames, valueNames } from '@chordae/words';
import { sayMoment } from '../../kit/time';
import { sayPatient } from '../say-patient';
import { ScanReportWords } from '../scan-report-words';
import { ViewsPart } from './views-part';

const IDENTITY: Record<CaseView['referral']['identity'], string> = {
  'not-compared': 'Identity not compared.',
  agreed: 'Identity agreed between files and referral.',
  resolved: 'Names differed between files and referral; the sender said why it is the right patient.',
  'nothing-to-compare': 'The files carried nothing to compare the patient by.',
};

/** What the sender asks and tells. */
export function CasePanel({
  c,
  result,
  mayWrite,
}: {
  c: CaseView;
  result: Interpretation;
  mayWrite: boolean;
}) {
  // Over all scans: a rescan that was asked nothing hides nothing that was told before.
  const state = knownState(c.scans);
  const answers = c.observations.filter((o) => o.supersededById === null && o.value !== null);
  return (
    <div className="stack">
      <p>{sayPatient(c.patient)}</p>
      <div>
        <h3>{planNames[c.referral.plan]}</h3>
        <p className="answer-text">{c.referral.question || 'No question in words.'}</p>
      </div>
      <div>
        <h3>History</h3>
        <p className="pre">{c.referral.history || 'None given.'}</p>
      </div>
      {c.report.signed.length > 0 ? (
        <details className="scan-report-told" open>
          <summary>What the person who scanned wrote</summary>
          <div className="stack">
            <ScanReportWords c={c} />
          </div>
        </details>
      ) : null}
      <div>
        <h3>Told by the practice</h3>
        <ul className="small-list">
          {answers.map((o) => (
            <li key={o.id}>
              {capital(observationNames[o.code])}
              {o.value === 'yes' ? '' : `: ${valueNames[o.value ?? ''] ?? o.value}`}
            </li>
          ))}
          {answers.length === 0 ? <li>No sign was asked about. That is not an all-clear.</li> : null}
        </ul>
      </div>
      <div>
        <h3>State at the scan</h3>
        <ul className="small-list">
          {Object.entries(stateNames).map(([field, name]) => {
            const value = state[field as keyof StateAtScan];
            if (field === 'sedativeAt' && !value) return null;
            return (
              <li key={field}>
                {capital(name)}: {sayStateValue(field, value)}
              </li>
            );
          })}
        </ul>
      </div>
      <ViewsPart c={c} result={result} mayWrite={mayWrite} />
      <p className="hint">{IDENTITY[c.referral.identity]}</p>
      <details>
        <summary>What happened so far</summary>
        <ol className="small-list">
          {c.events.map((e) => (
            <li key={e.id}>
              {sayMoment(e.at)}, {e.by}: {e.kind.replace(/[.-]/g, ' ')}
            </li>
          ))}
        </ol>
      </details>
    </div>
  );
}
