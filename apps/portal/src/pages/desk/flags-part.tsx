import type { CaseView, Flag, Interpretation } from '@chordae/contract';
import { sayChecks } from '@chordae/words';
import { type KeyboardEvent, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { lastWhere } from '../../host/last-where';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { FlagSentence } from '../../kit/flag';

/** Computed flags: each kept, or set aside with a reason; an act-now flag must be answered before signing. */
export function FlagsPart({
  c,
  result,
  mayWrite,
}: {
  c: CaseView;
  result: Interpretation;
  mayWrite: boolean;
}) {
  const open = result.flags.filter(
    (f) => f.level === 'act-now' && !c.flagAnswers.some((a) => a.flagKey === f.key),
  ).length;
  return (
    <>
      <p className="checks" role="status">
        {sayChecks(result.flags.length, result.checks)}
        {open > 0 && mayWrite
          ? ` ${open === 1 ? 'One act-now flag waits' : `${open} act-now flags wait`} for your answer before you can sign.`
          : ''}
      </p>
      {mayWrite && result.flags.length > 0 ? (
        <p className="hint">
          On a flag: <kbd className="key">K</kbd> keeps it and goes on, <kbd className="key">S</kbd> sets it
          aside, <kbd className="key">↓</kbd> <kbd className="key">↑</kbd> the next and the one before.
        </p>
      ) : null}
      <ul className="flags" aria-label="Flags" onKeyDown={onFlagKey}>
        {result.flags.map((flag) => (
          <Answered key={flag.key} c={c} flag={flag} mayWrite={mayWrite} />
        ))}
      </ul>
    </>
  );
}

/** Keys on a flag press its own buttons; they are kept from the desk, where the same letters are tools. */
function onFlagKey(event: KeyboardEvent<HTMLUListElement>) {
  const target = event.target as HTMLElement;
  if (target.matches('input, textarea, select') || event.ctrlKey || event.metaKey || event.altKey) return;
  const flags = [...event.currentTarget.children];
  const at = flags.findIndex((flag) => flag.contains(target));
  const go = (to: number) => flags[to]?.querySelector<HTMLElement>('summary')?.focus();
  const press = (what: string) =>
    flags[at]?.querySelector<HTMLButtonElement>(`[data-answer="${what}"]`)?.click();
  const key = event.key.toLowerCase();
  if (key === 'arrowdown') go(at + 1);
  else if (key === 'arrowup') go(at - 1);
  else if (key === 's') press('set-aside');
  else if (key === 'k') {
    press('kept');
    go(at + 1);
  } else return;
  event.preventDefault();
  event.stopPropagation();
}

function Answered({ c, flag, mayWrite }: { c: CaseView; flag: Flag; mayWrite: boolean }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [reason, setReason] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const answer = lastWhere(c.flagAnswers, (a) => a.flagKey === flag.key);
  const give = (kind: 'kept' | 'set-aside', why: string) =>
    call('putFlagAnswer', {
      params: { ...place, answerId: uuidv7() },
      body: { flagKey: flag.key, answer: kind, reason: why },
    })
      .then(() => {
        setReason(null);
        return reread();
      })
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  return (
    <FlagSentence flag={flag} context={{ phone: c.agreement?.practicePhone ?? null }} answer={answer}>
      {mayWrite && reason === null ? (
        <p className="flag-tools">
          <Button look="quiet" data-answer="kept" onClick={() => void give('kept', '')}>
            Keep
          </Button>
          <Button look="quiet" data-answer="set-aside" onClick={() => setReason('')}>
            Set aside
          </Button>
        </p>
      ) : null}
      {reason === null ? null : (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            void give('set-aside', reason);
          }}
        >
          <TextField
            label="Why it is set aside"
            value={reason}
            problem={problem}
            autoFocus
            onChange={(e) => setReason(e.target.value)}
          />
          <p className="row">
            <Button type="submit" disabled={reason.trim() === ''}>
              Set aside with this reason
            </Button>
            <Button look="quiet" onClick={() => setReason(null)}>
              Leave it
            </Button>
          </p>
        </form>
      )}
    </FlagSentence>
  );
}
