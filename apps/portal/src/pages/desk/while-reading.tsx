import type { CaseView } from '@chordae/contract';
import { useRef, useState } from 'react';
import { lastWhere } from '../../host/last-where';
import { useMe } from '../../host/session';
import { Button } from '../../kit/button';
import { Notice } from '../../kit/notice';

interface Seen {
  readonly state: CaseView['referral']['state'];
  readonly readerId: string | null;
  readonly clips: number;
  readonly numbers: number;
}

const seenOf = (c: CaseView): Seen => ({
  state: c.referral.state,
  readerId: c.reader?.memberId ?? null,
  clips: c.clips.length,
  numbers: c.measurements.filter((m) => m.side !== 'reader').length,
});

/** What changed since it was first seen or last waved away, as sentences; empty where nothing did. */
export function sayChanges(before: Seen, c: CaseView, meId: string): string[] {
  const now = seenOf(c);
  const said: string[] = [];
  const wasMine =
    before.readerId === meId && (before.state === 'reading' || before.state === 'images-wanted');
  if (now.state === 'withdrawn' && before.state !== 'withdrawn')
    said.push(
      `The practice has withdrawn this referral${reasonOf(c, 'referral.withdrawn')}. ${wasMine ? 'What you wrote is kept, and goes to nobody.' : ''}`.trim(),
    );
  else if (wasMine && now.readerId !== null && now.readerId !== meId)
    said.push(
      `${c.reader?.name ?? 'Somebody else'} has taken it over${reasonOf(c, 'referral.taken-over')}. What you wrote went along; you can look, and not write.`,
    );
  else if (wasMine && now.state === 'sent')
    said.push(
      c.handedTo
        ? `It was handed to ${c.handedTo.name} by ${c.handedTo.by}: ${c.handedTo.reason}.`
        : 'It went back into the queue.',
    );
  const clips = now.clips - before.clips;
  if (clips > 0)
    said.push(
      `${clips === 1 ? 'A clip has' : `${clips} clips have`} come since you opened this; ${clips === 1 ? 'it stands' : 'they stand'} last in the row.`,
    );
  const numbers = now.numbers - before.numbers;
  if (numbers > 0)
    said.push(
      `${numbers === 1 ? 'A measurement has' : `${numbers} measurements have`} come from the practice since you opened this.`,
    );
  return said;
}

function reasonOf(c: CaseView, kind: string): string {
  const reason = lastWhere(c.events, (e) => e.kind === kind)?.data['reason'];
  return typeof reason === 'string' && reason !== '' ? ` (${reason.replace(/[.\s]+$/, '')})` : '';
}

function sayArriving(count: number, more: string): string {
  return `${count === 1 ? `One${more} file is` : `${count}${more} files are`} still on the way.`;
}

/** Says what others did meanwhile; it stays until it is waved away. */
export function WhileReading({ c }: { c: CaseView }) {
  const me = useMe();
  const first = useRef<Seen>(seenOf(c));
  const [, again] = useState(0);
  // Taking it oneself is no news.
  if (first.current.readerId === null && c.reader?.memberId === me?.member.id) first.current = seenOf(c);
  const said = sayChanges(first.current, c, me?.member.id ?? '');
  return (
    <div role="status" className="while-reading">
      {c.arriving > 0 ? (
        <p className="hint">{sayArriving(c.arriving, c.clips.length > 0 ? ' more' : '')}</p>
      ) : null}
      {said.length > 0 ? (
        <Notice level="look">
          {said.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <p>
            <Button
              look="quiet"
              onClick={() => {
                first.current = seenOf(c);
                again((n) => n + 1);
              }}
            >
              Seen
            </Button>
          </p>
        </Notice>
      ) : null}
    </div>
  );
}
