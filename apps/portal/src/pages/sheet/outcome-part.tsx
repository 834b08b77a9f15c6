import type { CaseView, Outcome } from '@chordae/contract';
import { outcomeNames } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { type FormEvent, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { Button } from '../../kit/button';
import { Choices, TextArea } from '../../kit/field';
import { sayMoment, useNow } from '../../kit/time';

const TWO_WEEKS_MS = 14 * 24 * 3_600_000;
const ANSWERS = Object.entries(outcomeNames) as [Outcome['answer'], string][];

/** What may be done with an answered case: teaching with it, on a page of its own. */
export function TeachingLink({ c }: { c: CaseView }) {
  if (!['answered', 'closed'].includes(c.referral.state)) return null;
  return (
    <p className="hint">
      <Link
        to="/p/$practiceId/r/$referralId/teaching"
        params={{ practiceId: c.referral.practiceId, referralId: c.referral.id }}
      >
        Teaching with this case
      </Link>
    </p>
  );
}

/** One question, two weeks after the answer; it can be answered earlier by whoever opens it. */
export function OutcomePart({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const now = useNow();
  const signed = c.opinions.find((o) => o.kind === 'opinion');
  if (!signed) return null;
  if (c.outcome)
    return (
      <section className="part" aria-labelledby="p-outcome">
        <h2 id="p-outcome">What became of the patient</h2>
        <p>
          {outcomeNames[c.outcome.answer]}
          {c.outcome.words ? `: ${c.outcome.words}` : ''}
        </p>
        <p className="hint">
          {c.outcome.by}, {sayMoment(c.outcome.at)}
        </p>
      </section>
    );
  if (!mayAct) return null;
  const due = now - Date.parse(signed.signedAt) >= TWO_WEEKS_MS;
  return (
    <section className="part" aria-labelledby="p-outcome">
      <h2 id="p-outcome" className={due ? '' : 'hidden'}>
        What became of the patient
      </h2>
      {due ? (
        <Ask c={c} />
      ) : (
        <details>
          <summary>Say what became of the patient</summary>
          <Ask c={c} />
        </details>
      )}
    </section>
  );
}

function Ask({ c }: { c: CaseView }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [answer, setAnswer] = useState<Outcome['answer'] | null>(null);
  const [words, setWords] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (answer === null) return setProblem('Choose one answer.');
    call('putOutcome', { params: place, body: { answer, words } })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <form className="stack" onSubmit={submit}>
      <p className="hint">
        One question, once. The readers learn from it; it is given with your name and cannot be changed.
      </p>
      <Choices
        label="What became of the patient"
        choices={ANSWERS}
        value={answer}
        problem={problem}
        onChoose={(value) => {
          setProblem(null);
          setAnswer(value as Outcome['answer']);
        }}
      />
      <TextArea
        label="In words, if you like"
        rows={2}
        maxLength={1000}
        value={words}
        onChange={(e) => setWords(e.target.value)}
      />
      <p className="row">
        <Button type="submit">Give this answer</Button>
      </p>
    </form>
  );
}
