import type { CaseView } from '@chordae/contract';
import { type FormEvent, useRef, useState } from 'react';
import { call, sentenceOf } from '../host/api';
import { useRereadCase } from '../host/use-case';
import { Button } from './button';
import { TextArea } from './field';
import { type MessageTry, nextTry } from './message-try';
import { Time } from './time';

/** Questions and answers on one referral, between practice and readers; both may always write while it is not withdrawn. */
export function Thread({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [text, setText] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [pending, setPending] = useState(false);
  const lastTry = useRef<MessageTry | null>(null);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (pending) return;
    setProblem(null);
    setPending(true);
    const sent = nextTry(lastTry.current, text);
    lastTry.current = sent;
    call('putMessage', { params: { ...place, messageId: sent.id }, body: { text } })
      .then(() => {
        lastTry.current = null;
        // What was typed meanwhile stays.
        setText((now) => (now === text ? '' : now));
        return reread();
      })
      .catch((error: unknown) => setProblem(sentenceOf(error)))
      .finally(() => setPending(false));
  };
  return (
    <div className="stack">
      {c.thread.length === 0 ? <p className="hint">Nothing has been asked on this referral.</p> : null}
      <ol className="thread" aria-label="Questions and answers">
        {c.thread.map((m) => (
          <li key={m.id} className={`thread-${m.side}`}>
            <p className="hint">
              {m.by}, {m.side === 'group' ? 'reading group' : 'practice'}, <Time at={m.at} />
            </p>
            <p className="pre">{m.text}</p>
          </li>
        ))}
      </ol>
      {mayWrite ? (
        <form className="stack" onSubmit={submit}>
          <TextArea
            label={c.side === 'group' ? 'To the practice' : 'To the reading group'}
            rows={3}
            maxLength={2000}
            value={text}
            problem={problem}
            hint="For what cannot wait, telephone. This is mailed and kept with the referral; it changes no signed text."
            onChange={(e) => setText(e.target.value)}
          />
          <p className="row">
            <Button type="submit" disabled={pending || text.trim() === ''}>
              Send
            </Button>
          </p>
        </form>
      ) : null}
    </div>
  );
}
