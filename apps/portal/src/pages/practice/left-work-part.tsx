import type { LeftWork } from '@chordae/contract';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Notice, Problem } from '../../kit/notice';
import { sayMoment } from '../../kit/time';
import { type Replayed, replayLeft, sortWork } from './replay-left';

/** What somebody who left the practice had not sent: shown until one of its vets has taken it into the records. */
export function LeftWorkPart({ practiceId, mayTake }: { practiceId: string; mayTake: boolean }) {
  const { data, error } = useQuery({
    queryKey: ['left-work', practiceId],
    queryFn: ({ signal }) => call('listLeftWork', { params: { practiceId }, signal }),
  });
  if (error) return <Problem>{error.message}</Problem>;
  if (!data || data.length === 0) return null;
  return (
    <section className="form-part" aria-labelledby="pr-left">
      <h2 id="pr-left">Handed over by people who left</h2>
      <ul className="plain-list">
        {data.map((work) => (
          <Work key={work.id} practiceId={practiceId} work={work} mayTake={mayTake} />
        ))}
      </ul>
    </section>
  );
}

const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`;

function Work({ practiceId, work, mayTake }: { practiceId: string; work: LeftWork; mayTake: boolean }) {
  const client = useQueryClient();
  const [done, setDone] = useState<Replayed | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const sorted = sortWork(work);
  const about = [...new Set(sorted.ops.map((o) => o.about).filter((t) => t !== ''))];
  const take = async () => {
    setBusy(true);
    setProblem(null);
    try {
      const replayed = await replayLeft(practiceId, work);
      setDone(replayed);
      if (replayed.refused.length === 0)
        await call('takeLeftWork', { params: { practiceId, workId: work.id }, body: {} });
      await client.invalidateQueries();
    } catch (e) {
      setProblem(sentenceOf(e));
    } finally {
      setBusy(false);
    }
  };
  return (
    <li className="form-part">
      <p>
        <b>{work.fromName}</b>, {sayMoment(work.madeAt)}: {count(sorted.ops.length, 'change', 'changes')} and{' '}
        {count(work.files.length, 'file', 'files')}
        {about.length > 0 ? ` about ${about.join(', ')}` : ''}.
      </p>
      {sorted.conflicts.map((c) => (
        <p key={`${c.about}${c.field}`} className="hint">
          Not settled, {c.about}, {c.field}: {typeof c.yours === 'string' ? c.yours : JSON.stringify(c.yours)}
        </p>
      ))}
      {sorted.signatures > 0 ? (
        <p className="hint">
          {count(sorted.signatures, 'report was', 'reports were')} signed on the device and never confirmed:
          the text is entered as a draft. Nobody signs for somebody else.
        </p>
      ) : null}
      {sorted.unsent.length > 0 ? (
        <Notice level="look">
          {count(sorted.unsent.length, 'referral was', 'referrals were')} asked for on the device and never
          sent
          {sorted.unsent.some((u) => u !== '') ? `: ${sorted.unsent.filter((u) => u !== '').join(', ')}` : ''}
          . No cardiologist has {sorted.unsent.length === 1 ? 'it' : 'them'}: take the work over, look the
          draft over and send it, or telephone.
        </Notice>
      ) : null}
      {work.takenAt ? (
        <p className="hint">
          Taken into the records by {work.takenBy} {sayMoment(work.takenAt)}.
        </p>
      ) : mayTake ? (
        <p className="row">
          <Button disabled={busy} onClick={() => void take()}>
            {busy ? 'Entering …' : 'Take it into the records'}
          </Button>
          <span className="hint">It is entered under your name, as it was written.</span>
        </p>
      ) : null}
      {done ? (
        <Notice level={done.refused.length > 0 ? 'look' : 'note'} live>
          <p>
            {count(done.entered, 'entry', 'entries')} taken over.
            {done.refused.length > 0 ? ' Not taken, and still kept here:' : ''}
          </p>
          {done.refused.map((r, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a fixed list of sentences
            <p key={i}>
              {r.about}: {r.says}
            </p>
          ))}
        </Notice>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
    </li>
  );
}
