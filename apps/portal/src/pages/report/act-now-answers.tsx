import type { CaseView, Flag, Interpretation, ReportText } from '@chordae/contract';
import { flagAnswerNames } from '@chordae/words';
import type { KeyboardEvent } from 'react';
import { Choices, TextField } from '../../kit/field';
import { FlagSentence } from '../../kit/flag';
import { useReach } from '../sheet/telephones';
import { answerFlag } from './flag-answers';

type Answers = Pick<ReportText, 'flagAnswers'>;
type Change = (make: (now: Answers) => Partial<Answers>) => void;
type Answer = keyof typeof flagAnswerNames;

const CHOICES = Object.entries(flagAnswerNames) as [Answer, string][];
const KEYS: Readonly<Record<string, Answer>> = { k: 'kept', p: 'passed-up', s: 'set-aside' };

/** What cannot wait, above everything that is written: each such flag gets an answer before the report is signed. */
export function ActNowAnswers({
  c,
  result,
  answers,
  change,
}: {
  c: CaseView;
  result: Interpretation;
  answers: Answers;
  change: Change;
}) {
  const flags = result.flags.filter((f) => f.level === 'act-now');
  if (flags.length === 0) return null;
  return (
    <section className="stack-tight report-now" aria-labelledby="act-now-answers">
      <h3 id="act-now-answers">What cannot wait</h3>
      <p className="hint keys-hint">
        Say it to the practice now. On a flag: <kbd className="key">K</kbd> it stands,{' '}
        <kbd className="key">P</kbd> pass up to a cardiologist, <kbd className="key">S</kbd> set aside with a
        reason.
      </p>
      <ul className="flags">
        {flags.map((flag) => (
          <Answered key={flag.key} c={c} flag={flag} answers={answers} change={change} />
        ))}
      </ul>
    </section>
  );
}

function Answered({
  c,
  flag,
  answers,
  change,
}: {
  c: CaseView;
  flag: Flag;
  answers: Answers;
  change: Change;
}) {
  const given = answers.flagAnswers.find((a) => a.flagKey === flag.key);
  const give = (answer: Answer) => change((now) => answerFlag(now, flag.key, { answer }));
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => {
    if ((event.target as HTMLElement).matches('input:not([type=radio]), textarea')) return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const answer = KEYS[event.key.toLowerCase()];
    if (!answer) return;
    event.preventDefault();
    give(answer);
    event.currentTarget.querySelector<HTMLElement>(`input[value="${answer}"]`)?.focus();
  };
  const context = useReach(c);
  return (
    <FlagSentence flag={flag} context={context}>
      <div className="stack-tight flag-answers" onKeyDown={onKey}>
        <Choices
          label="What you make of it"
          choices={CHOICES}
          value={given?.answer ?? null}
          onChoose={(answer) => give(answer as Answer)}
        />
        {given && given.answer !== 'kept' ? (
          <TextField
            label={
              given.answer === 'set-aside' ? 'Why it is set aside' : 'For the cardiologist (may stay empty)'
            }
            wide
            maxLength={600}
            value={given.reason}
            onChange={(e) => {
              const reason = e.target.value;
              change((now) => answerFlag(now, flag.key, { reason }));
            }}
          />
        ) : null}
      </div>
    </FlagSentence>
  );
}
