import type { CaseView } from '@chordae/contract';
import { outcomeNames } from '@chordae/words';
import { useState } from 'react';
import { Button } from '../../kit/button';
import { OpinionPart } from '../sheet/opinion-part';
import { OpinionPanel } from './opinion-panel';
import { SecondReadPanel } from './second-read-panel';
import { AddendumDialog } from './sign-dialog';

function sayWhoWrites(c: CaseView): string {
  if (c.referral.state === 'withdrawn')
    return 'No opinion was signed: the practice has withdrawn the referral.';
  return c.reader ? `${c.reader.name} writes the opinion.` : 'Take the referral to write the opinion.';
}

/** Written by who reads it; read by the others; a second reader's own in its place. */
export function OpinionTab({ c, mayWrite }: { c: CaseView; mayWrite: boolean }) {
  const [adding, setAdding] = useState(false);
  if (c.secondRead && c.secondRead.signedAt === null)
    return <SecondReadPanel key={c.secondRead.id} c={c} read={c.secondRead} />;
  if (mayWrite && c.draft) return <OpinionPanel key={c.draft.id} c={c} draft={c.draft} />;
  const signed = c.opinions.length > 0;
  return (
    <div className="stack">
      <OpinionPart c={c} />
      {c.outcome ? (
        <p>
          What became of the patient: {outcomeNames[c.outcome.answer].toLowerCase()}
          {c.outcome.words ? ` (${c.outcome.words})` : ''}.
        </p>
      ) : null}
      {signed ? (
        <p className="row">
          <Button onClick={() => setAdding(true)}>Add an addendum</Button>
        </p>
      ) : (
        <p className="hint">{sayWhoWrites(c)}</p>
      )}
      {adding ? <AddendumDialog c={c} onClose={() => setAdding(false)} /> : null}
    </div>
  );
}
