import type { Visit } from '@chordae/contract';
import { Link, useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import { sentenceOf } from '../../host/api';
import { useUnsentSends } from '../../host/device';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { TextField } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { sayQuestion, sayStage, sayWho, stageOf } from './say-visit';
import { StartDialog } from './start-dialog';
import { patchVisit } from './use-rounds';

/** One patient of the day: who, what is asked, where it stands, and the one next thing to do. */
export function VisitRow({
  visit,
  day,
  practiceName,
  closed,
  next,
  onMove,
  onChanged,
}: {
  visit: Visit;
  day: string;
  practiceName: string;
  closed: boolean;
  /** The first of the day that is still to be scanned. */
  next: boolean;
  onMove: (by: -1 | 1) => void;
  onChanged: () => Promise<void>;
}) {
  const go = useNavigate();
  const [open, setOpen] = useState<'start' | 'not-scanned' | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const stage = stageOf(visit);
  const asked = useUnsentSends().has(visit.referralId ?? '');
  const name = visit.patientName ?? visit.planned.name;
  const question = sayQuestion(visit);
  const place = visit.referralId ? { practiceId: visit.practiceId, referralId: visit.referralId } : null;
  const putBack = () =>
    patchVisit(visit, { notScanned: null })
      .then(onChanged)
      .catch((e: unknown) => setProblem(sentenceOf(e)));
  return (
    <li className={`visit visit-${stage}`}>
      <div className="visit-who">
        <p className="visit-name">
          {place ? (
            <Link to="/p/$practiceId/r/$referralId" params={place} data-visit-main="">
              {name}
            </Link>
          ) : (
            name
          )}
        </p>
        <p className="hint">{sayWho(visit)}</p>
      </div>
      <div className="visit-what">
        {question ? <p>{question}</p> : <p className="hint">No question given.</p>}
        {visit.planned.note ? <p className="hint">{visit.planned.note}</p> : null}
      </div>
      <div className="visit-state">
        {visit.case && visit.case.actNow.length > 0 ? (
          <p className="visit-alarm">Act now: open the scan and read what it says.</p>
        ) : null}
        <p>{sayStage(visit, asked)}</p>
        {problem ? <Problem>{problem}</Problem> : null}
        {closed ? null : (
          <p className="row visit-acts">
            {stage === 'planned' ? (
              <Button
                look="plain"
                data-visit-main=""
                data-scan=""
                aria-label={`Scan ${name}`}
                onClick={() => setOpen('start')}
              >
                Scan
              </Button>
            ) : null}
            {/* Beside the button: its name is longer than its words, and a key within would be neither. */}
            {next ? (
              <kbd aria-hidden="true" className="key">
                s
              </kbd>
            ) : null}
            {place && visit.case?.state === 'draft' ? (
              <Link className="button button-plain" to="/p/$practiceId/r/$referralId" params={place}>
                Open
              </Link>
            ) : null}
            {place && visit.case && visit.case.state !== 'withdrawn' ? (
              <Link
                className="button button-quiet"
                to="/p/$practiceId/r/$referralId/report"
                params={place}
                aria-label={`Scan report of ${name}`}
              >
                {visit.case.reportSigned ? 'Report' : 'Write the report'}
              </Link>
            ) : null}
            {stage === 'planned' ? (
              <Button
                look="quiet"
                aria-label={`${name} is not scanned`}
                onClick={() => setOpen('not-scanned')}
              >
                Not scanned
              </Button>
            ) : null}
            {visit.notScanned !== null ? (
              <Button
                look="quiet"
                aria-label={`Put ${name} back on the round`}
                onClick={() => void putBack()}
              >
                Put back
              </Button>
            ) : null}
            {stage === 'planned' ? (
              <span className="visit-moves">
                <Button look="quiet" aria-label={`${name} earlier`} onClick={() => onMove(-1)}>
                  Earlier
                </Button>
                <Button look="quiet" aria-label={`${name} later`} onClick={() => onMove(1)}>
                  Later
                </Button>
              </span>
            ) : null}
          </p>
        )}
      </div>
      {open === 'start' ? (
        <StartDialog
          visit={visit}
          day={day}
          practiceName={practiceName}
          onClose={() => setOpen(null)}
          onStarted={async (referralId) => {
            await onChanged();
            await go({
              to: '/p/$practiceId/r/$referralId',
              params: { practiceId: visit.practiceId, referralId },
            });
          }}
        />
      ) : null}
      {open === 'not-scanned' ? (
        <NotScannedDialog visit={visit} name={name} onClose={() => setOpen(null)} onDone={onChanged} />
      ) : null}
    </li>
  );
}

const REASONS = ['Did not come', 'Not fit to be scanned today', 'The keeper declined', 'No time left'];

function NotScannedDialog({
  visit,
  name,
  onClose,
  onDone,
}: {
  visit: Visit;
  name: string;
  onClose: () => void;
  onDone: () => Promise<void>;
}) {
  const [reason, setReason] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const keep = async (text: string) => {
    try {
      await patchVisit(visit, { notScanned: text });
      await onDone();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <Dialog title={`${name} is not scanned`} onClose={onClose}>
      <TextField
        label="Why"
        value={reason}
        maxLength={300}
        problem={problem}
        onChange={(e) => setReason(e.target.value)}
      />
      <p className="row">
        {REASONS.map((text) => (
          <Button key={text} onClick={() => void keep(text)}>
            {text}
          </Button>
        ))}
      </p>
      <p className="row">
        <Button look="main" disabled={reason.trim() === ''} onClick={() => void keep(reason.trim())}>
          Note it
        </Button>
      </p>
    </Dialog>
  );
}
