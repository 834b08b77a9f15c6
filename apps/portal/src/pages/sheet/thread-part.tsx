import { type CaseView, isUnsent } from '@chordae/contract';
import { Thread } from '../../kit/thread';

/** Questions to the readers and their answers, from sending on; open where something was asked. */
export function ThreadPart({ c, mayAct }: { c: CaseView; mayAct: boolean }) {
  const { state } = c.referral;
  if (isUnsent(state) || (state === 'withdrawn' && c.thread.length === 0)) return null;
  const mayWrite = mayAct && state !== 'withdrawn';
  if (c.thread.length === 0 && !mayWrite) return null;
  return (
    <section className="part" aria-labelledby="p-thread">
      <h2 id="p-thread">Questions and answers</h2>
      {/* One tree for both: a first message that arrives must not lose a half-typed question. */}
      <details open={c.thread.length > 0}>
        <summary>{mayWrite ? `Ask ${c.referral.groupName} something` : 'What was asked'}</summary>
        <Thread c={c} mayWrite={mayWrite} />
      </details>
    </section>
  );
}
