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
  return (
    <Messages
      messages={c.thread.map((m) => ({ ...m, who: m.side === 'group' ? 'reading group' : 'practice' }))}
      empty="Nothing has been asked on this referral."
      label={c.side === 'group' ? 'To the practice' : 'To the reading group'}
      mayWrite={mayWrite}
      send={(messageId, text) =>
        call('putMessage', { params: { ...place, messageId }, body: { text } }).then(reread)
      }
    />
  );
}

/** Messages of two sides, and where one writes the next; a message whose reply was lost is not stored twice. */
export function Messages({
  messages,
  empty,
  label,
  mayWrite,
  send,
}: {
  messages: readonly { id: string; side: string; who: string; text: string; by: string; at: string }[];
  empty: string;
  /** To whom one writes. */
  label: string;
  mayWrite: boolean;
  send: (messageId: string, text: string) => Promise<unknown>;
}) {
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
    send(sent.id, text)
      .then(() => {
        lastTry.current = null;
        // What was typed meanwhile stays.
        setText((now) => (now === text ? '' : now));
      })
      .catch((error: unknown) => setProblem(sentenceOf(error)))
      .finally(() => setPending(false));
  };
  return (
    <div className="stack">
      {messages.length === 0 ? <p className="hint">{empty}</p> : null}
      <ol className="thread" aria-label="Questions and answers">
        {messages.map((m) => (
          <li key={m.id} className={`thread-${m.side}`}>
            <p className="hint">
              {m.by}, {m.who}, <Time at={m.at} />
            </p>
            <p className="pre">{m.text}</p>
          </li>
        ))}
      </ol>
      {mayWrite ? (
        <form className="stack" onSubmit={submit}>
          <TextArea
            label={label}
            rows={3}
            maxLength={2000}
            value={text}
            problem={problem}
            hint="For what cannot wait, telephone. This is mailed and kept here; it changes no signed text."
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
