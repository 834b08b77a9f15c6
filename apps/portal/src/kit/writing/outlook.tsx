import type { CaseView, Interpretation, OpinionText } from '@chordae/contract';
import { monthsAfter, proposeRescan } from '@chordae/words';
import { Button } from '../button';
import { TextField } from '../field';
import { sayDay } from '../time';
import { PhraseArea } from './phrase-area';
import { withSentence } from './text-edits';

type Outlook = Pick<OpinionText, 'recheckOn' | 'recheckFor' | 'rescan'>;
type Change = (make: (now: Outlook) => Partial<Outlook>) => void;

const CHOICES = [1, 3, 6, 12] as const;

/** When to look again: a day, by itself or counted from the scan. It goes onto the practice's list of rechecks. */
export function RecheckField({ c, draft, change }: { c: CaseView; draft: Outlook; change: Change }) {
  const scannedOn = c.scans.at(-1)?.scannedOn ?? null;
  return (
    <fieldset className="recheck">
      <legend>Look again</legend>
      <div className="recheck-row">
        <TextField
          label="On"
          type="date"
          value={draft.recheckOn ?? ''}
          onChange={(e) => change(() => ({ recheckOn: e.target.value === '' ? null : e.target.value }))}
        />
        <div className="recheck-choices" role="group" aria-label="Counted from the day of the scan">
          {CHOICES.map((months) => {
            const day = scannedOn ? monthsAfter(scannedOn, months) : '';
            return (
              <button
                key={months}
                type="button"
                className="chip"
                disabled={day === ''}
                aria-pressed={day !== '' && draft.recheckOn === day}
                title={day === '' ? undefined : sayDay(day)}
                onClick={() => change(() => ({ recheckOn: day }))}
              >
                {months} {months === 1 ? 'month' : 'months'}
              </button>
            );
          })}
        </div>
      </div>
      <PhraseArea
        label="For"
        place={null}
        maxLength={300}
        placeholder="left atrium and ventricle, blood pressure …"
        value={draft.recheckFor}
        onChange={(recheckFor) => change(() => ({ recheckFor }))}
      />
    </fieldset>
  );
}

/** What to scan again and how; the engine's own list stands beside it, each view to be put in by one key. */
export function RescanField({
  rescan,
  result,
  change,
}: {
  rescan: string;
  result: Interpretation;
  change: Change;
}) {
  const offers = proposeRescan(result.completeness).filter((o) => !rescan.includes(o.text));
  return (
    <div className="stack-tight">
      <PhraseArea
        label="To scan again"
        place="rescan"
        rows={3}
        maxLength={2000}
        value={rescan}
        onChange={(text) => change(() => ({ rescan: text }))}
      />
      {result.completeness.againHeld !== null ? (
        <p className="hint">Nothing is offered while the patient is in distress.</p>
      ) : null}
      {offers.length > 0 ? (
        <details className="offers">
          <summary>{offers.length === 1 ? '1 view' : `${offers.length} views`} that would help</summary>
          <ul>
            {offers.map((offer) => (
              <li key={offer.view} className="proposal">
                <p>
                  <b className="proposal-mark">Proposed</b> {offer.text}
                </p>
                <Button
                  look="quiet"
                  aria-label={`Put in: ${offer.text}`}
                  onClick={() => change((now) => ({ rescan: withSentence(now.rescan, offer.text) }))}
                >
                  Put in
                </Button>
              </li>
            ))}
          </ul>
        </details>
      ) : null}
    </div>
  );
}
