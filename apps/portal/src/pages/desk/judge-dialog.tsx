import type { CaseView, ClipRecord, ClipStatement, ClipStatementRecord, ViewId } from '@chordae/contract';
import { capital, viewNames } from '@chordae/words';
import { type FormEvent, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { Choices, SelectField, TextField } from '../../kit/field';
import { viewsByKey } from '../sheet/view-namer';

type Judgement = Extract<ClipStatement, { kind: 'judgement' }>;

const JUDGED: readonly (readonly [Judgement['judged'], string])[] = [
  ['adequate', 'Adequate'],
  ['doubtful', 'Doubtful'],
  ['not-possible', 'Not usable'],
];
const AXIS: readonly (readonly [string, string])[] = [
  ['on-axis', 'cut square'],
  ['off-axis', 'tilted'],
  ['', 'not judged'],
];

const isShortAxis = (view: ViewId | ''): boolean => view.includes('short');

/** The newest judgement of a clip by a reader, or by who scanned; null where none judged it. */
export function judgementOf(
  all: readonly ClipStatementRecord[],
  clipId: string,
  side: ClipStatementRecord['side'] = 'reader',
): Judgement | null {
  let found: Judgement | null = null;
  for (const said of all)
    if (said.clipId === clipId && said.side === side && said.statement.kind === 'judgement')
      found = said.statement;
  return found;
}

/** Is the view there and good enough: what the reader says stands before the sender's name and any hint. */
export function JudgeDialog({ c, clip, onClose }: { c: CaseView; clip: ClipRecord; onClose: () => void }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const reading = c.side === 'group';
  const before = judgementOf(c.statements, clip.id, reading ? 'reader' : 'sender');
  const [view, setView] = useState<ViewId | ''>(before?.view ?? clip.view ?? '');
  const [judged, setJudged] = useState<Judgement['judged']>(before?.judged ?? 'adequate');
  const [axis, setAxis] = useState<string>(before?.axis ?? '');
  const [why, setWhy] = useState(before?.why ?? '');
  const [problem, setProblem] = useState<string | null>(null);
  const views = [...viewsByKey(c.referral.plan, c.patient.species).values()];
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (view === '') return setProblem('Say which view it is.');
    const cut = isShortAxis(view) && axis !== '' ? (axis as 'on-axis' | 'off-axis') : null;
    call('putClipStatement', {
      params: { ...place, clipId: clip.id, statementId: uuidv7() },
      body: { kind: 'judgement', view, judged, axis: cut, why },
    })
      .then(reread)
      .then(onClose)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <Dialog title={`Judge the view of clip ${clip.number}`} onClose={onClose}>
      <form
        className="stack"
        onSubmit={submit}
        onKeyDown={(event) => {
          // A list takes Enter for nothing: here it keeps what stands.
          if (event.key !== 'Enter' || !(event.target instanceof HTMLSelectElement)) return;
          event.preventDefault();
          event.currentTarget.requestSubmit();
        }}
      >
        <SelectField
          label="View"
          value={view}
          hint={
            clip.view
              ? `${reading ? 'The sender says' : 'Named as'}: ${viewNames[clip.view]}.`
              : `${reading ? 'The sender did not say' : 'Nobody has said'} which view it is.`
          }
          choices={[
            ...(view === '' ? [['', 'choose …'] as const] : []),
            ...views.map((v) => [v, capital(viewNames[v])] as const),
          ]}
          onChange={(e) => setView(e.target.value as ViewId)}
        />
        <Choices
          label="For this question it is"
          choices={JUDGED}
          value={judged}
          onChoose={(value) => setJudged(value as Judgement['judged'])}
        />
        {isShortAxis(view) ? (
          <Choices label="The cut" choices={AXIS} value={axis} onChoose={setAxis} />
        ) : null}
        <TextField
          label={judged === 'adequate' ? 'Note (may stay empty)' : 'What is wrong with it'}
          value={why}
          problem={problem}
          wide
          onChange={(e) => setWhy(e.target.value)}
        />
        <p className="row">
          <Button type="submit" look="main">
            Keep this judgement
          </Button>
        </p>
      </form>
    </Dialog>
  );
}
