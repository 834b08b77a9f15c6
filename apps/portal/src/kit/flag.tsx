import type { Flag, FlagAnswer } from '@chordae/contract';
import { type FlagContext, sayFlag } from '@chordae/words';
import type { ReactNode } from 'react';
import { RestsOn } from './frame-link';

const LEVELS: Record<Flag['level'], string> = { 'act-now': 'Act now', look: 'Look', note: 'Note' };

/** A flag as a sentence that unfolds to its reasons and sources. */
export function FlagSentence({
  flag,
  context = {},
  answer,
  children,
}: {
  flag: Flag;
  context?: FlagContext;
  answer?: FlagAnswer | undefined;
  children?: ReactNode;
}) {
  const said = sayFlag(flag, context);
  const aside = answer?.answer === 'set-aside';
  return (
    <li className={`flag flag-${flag.level} ${aside ? 'flag-aside' : ''}`}>
      <details>
        <summary>
          <span className="flag-level">{LEVELS[flag.level]}</span>{' '}
          <span className="flag-text">{said.sentence}</span>
        </summary>
        <div className="flag-more">
          <ul>
            {said.reasons.map((reason) => (
              <li key={reason}>{reason}</li>
            ))}
          </ul>
          <RestsOn ids={flag.evidence.measurementIds} />
          {said.sources.map((source) => (
            <p key={source} className="source">
              Source: {source}
            </p>
          ))}
        </div>
      </details>
      {answer ? (
        <p className="flag-answer">
          {aside ? 'Set aside' : 'Kept'} by {answer.by}
          {answer.reason ? `: ${answer.reason}` : ''}
        </p>
      ) : null}
      {children}
    </li>
  );
}
