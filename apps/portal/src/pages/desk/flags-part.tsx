import type { CaseView, Flag, Interpretation } from '@chordae/contract';
import { sayChecks } from '@chordae/words';
import { useState } from 'react';
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
      <ul className="flags" aria-label="Flags">
        {result.flags.map((flag) => (
          <Answered key={flag.key} c={c} flag={flag} mayWrite={mayWrite} />
        ))}
      </ul>
    </>
  );
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
          <Button look="quiet" onClick={() => void give('kept', '')}>
            Keep
          </Button>
          <Button look="quiet" onClick={() => setReason('')}>
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
