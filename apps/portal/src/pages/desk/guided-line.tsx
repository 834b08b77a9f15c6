import { measurementNames, momentNames, viewNames } from '@chordae/words';
import { Button } from '../../kit/button';
import type { WantedStep } from './guided';

/** What the question wants next: from where to where, at which moment, on which view, by whose rule. */
export function GuidedLine({
  step,
  left,
  note,
  keyHint,
  onNext,
}: {
  step: WantedStep | null;
  /** How many are still to be measured. */
  left: number;
  /** Where one was taken: the frame, and whether it was marked or only suggested. */
  note: string;
  keyHint: string;
  onNext: () => void;
}) {
  if (!step)
    return (
      <p className="guided">
        <span>
          {left === 0
            ? 'All that this question wants and that can be drawn has been measured.'
            : `This question wants ${left} more ${left === 1 ? 'measurement' : 'measurements'} that can be drawn.`}
        </span>
        {left > 0 ? (
          <Button look="quiet" keyHint={keyHint} onClick={onNext}>
            Go on
          </Button>
        ) : null}
      </p>
    );
  const moment = momentNames[step.guide.moment];
  const name = step.code === 'la-sax' ? 'LA and Ao (short axis)' : measurementNames[step.code].short;
  return (
    <p className="guided" role="status">
      <span>
        <b>Next: {name}</b>, {step.guide.how}
        {moment ? `, ${moment}` : ''}
        {step.views[0] ? `, ${viewNames[step.views[0]]}` : ''}. {note}{' '}
        <span className="hint">({step.guide.source})</span>
      </span>
      <Button look="quiet" keyHint={keyHint} onClick={onNext}>
        Go on
      </Button>
    </p>
  );
}
