import type { PatientPage, StandingMerge } from '@chordae/contract';
import { likenessWords } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Problem } from '../../kit/notice';
import { Time } from '../../kit/time';
import { MergeDialog } from './merge-dialog';

/** Registered twice: who may be the same animal, what was merged, and the way back. */
export function MergePart({
  data,
  mayEdit,
  reread,
}: {
  data: PatientPage;
  mayEdit: boolean;
  reread: () => Promise<void>;
}) {
  const { patient } = data;
  const [merging, setMerging] = useState<{ readonly otherId: string | null } | null>(null);
  const [undoing, setUndoing] = useState<StandingMerge | null>(null);
  if (!mayEdit && data.merges.length === 0 && data.likely.length === 0) return null;
  return (
    <section className="form-part" aria-labelledby="pp-merge">
      <div className="head-row">
        <h2 id="pp-merge">Registered twice</h2>
        {mayEdit ? (
          <Button onClick={() => setMerging({ otherId: null })}>Merge with another patient</Button>
        ) : null}
      </div>
      {data.likely.length > 0 ? (
        <ul className="plain-rows">
          {data.likely.map((pair) => {
            const other = pair.one.id === patient.id ? pair.other : pair.one;
            return (
              <li key={other.id} className="row">
                <span>
                  May be the same animal:{' '}
                  <Link
                    to="/p/$practiceId/patients/$patientId"
                    params={{ practiceId: patient.practiceId, patientId: other.id }}
                  >
                    {other.name}, number {other.number}
                  </Link>{' '}
                  <span className="hint">({pair.because.map((b) => likenessWords[b]).join('; ')})</span>
                </span>
                {mayEdit ? (
                  <Button
                    onClick={() => setMerging({ otherId: other.id })}
                    aria-label={`Compare with ${other.name}, number ${other.number}`}
                  >
                    Compare
                  </Button>
                ) : null}
              </li>
            );
          })}
        </ul>
      ) : null}
      {data.merges.length > 0 ? (
        <ul className="plain-rows">
          {data.merges.map((m) => (
            <li key={m.mergeId} className="row">
              <Merged merge={m} here={patient.id} />
              {mayEdit ? (
                <Button
                  onClick={() => setUndoing(m)}
                  aria-label={`Undo the merge of ${m.from.name}, number ${m.from.number}`}
                >
                  Undo the merge
                </Button>
              ) : null}
            </li>
          ))}
        </ul>
      ) : null}
      {data.likely.length === 0 && data.merges.length === 0 ? (
        <p className="hint">No other patient here looks like this one.</p>
      ) : null}
      {merging ? (
        <MergeDialog here={data} otherId={merging.otherId} onClose={() => setMerging(null)} reread={reread} />
      ) : null}
      {undoing ? (
        <UndoDialog
          practiceId={patient.practiceId}
          merge={undoing}
          onClose={() => setUndoing(null)}
          reread={reread}
        />
      ) : null}
    </section>
  );
}

function Merged({ merge, here }: { merge: StandingMerge; here: string }) {
  const keeper = merge.keeper ? [merge.keeper.name, merge.keeper.phone].filter(Boolean).join(', ') : '';
  return (
    <div>
      <p>
        {merge.from.name}, number {merge.from.number}, was merged
        {merge.into.id === here ? '' : ` into ${merge.into.name}, number ${merge.into.number},`} by {merge.by}
        , <Time at={merge.at} />.
      </p>
      <p className="hint">
        {merge.reason}
        {keeper ? ` Its keeper: ${keeper}.` : ''}
        {merge.chip ? ` Its chip: ${merge.chip}.` : ''}
      </p>
    </div>
  );
}

function UndoDialog({
  practiceId,
  merge,
  onClose,
  reread,
}: {
  practiceId: string;
  merge: StandingMerge;
  onClose: () => void;
  reread: () => Promise<void>;
}) {
  const [problem, setProblem] = useState<string | null>(null);
  const undo = async () => {
    try {
      await call('undoMerge', { params: { practiceId, mergeId: merge.mergeId }, body: {} });
      await reread();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <Dialog title={`Undo the merge of ${merge.from.name}`} onClose={onClose}>
      <p>
        {merge.from.name}, number {merge.from.number}, stands for itself again, with the scans, weights and
        referrals that were made under its number. What was added since the merge stays with {merge.into.name}
        , number {merge.into.number}.
      </p>
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="main" onClick={() => void undo()}>
          Undo the merge
        </Button>
        <Button onClick={onClose}>Leave them merged</Button>
      </p>
    </Dialog>
  );
}
