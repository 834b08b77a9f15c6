import type { CaseView, OpinionDraft, OpinionText, OwnFlag } from '@chordae/contract';
import { startKeeperPage, TO_BE_CHECKED } from '@chordae/words';
import { Button } from '../../kit/button';
import { SelectField } from '../../kit/field';
import { Notice } from '../../kit/notice';
import { PhraseArea } from '../../kit/writing/phrase-area';
import { addOwnFlag, changeOwnFlag, removeOwnFlag } from '../../kit/writing/text-edits';
import { focusLastText } from './focus-last-text';

type Change = (make: (now: OpinionDraft) => Partial<OpinionText>) => void;

const LEVELS: readonly (readonly [OwnFlag['level'], string])[] = [
  ['act-now', 'Act now'],
  ['look', 'Look'],
  ['note', 'Note'],
];

/** Flags that the reader raises beside the computed ones. 'Act now' stands above the conclusion on paper. */
export function OwnFlags({ draft, change }: { draft: OpinionDraft; change: Change }) {
  return (
    <section className="stack-tight" aria-labelledby="own-flags">
      <h3 id="own-flags">Flags of your own</h3>
      {draft.ownFlags.map((flag, at) => (
        <div key={flag.id} className="own-flag">
          <SelectField
            label={`Level of flag ${at + 1}`}
            value={flag.level}
            choices={LEVELS}
            onChange={(e) =>
              change((now) => changeOwnFlag(now, flag.id, { level: e.target.value as OwnFlag['level'] }))
            }
          />
          <PhraseArea
            label={`Flag ${at + 1}`}
            place={null}
            rows={2}
            maxLength={400}
            value={flag.text}
            onChange={(text) => change((now) => changeOwnFlag(now, flag.id, { text }))}
          />
          <p className="row">
            <Button
              look="quiet"
              aria-label={`Flag ${at + 1}: remove`}
              onClick={() => change((now) => removeOwnFlag(now, flag.id))}
            >
              Remove
            </Button>
          </p>
        </div>
      ))}
      {draft.ownFlags.length < 12 ? (
        <p className="row">
          <Button
            onClick={(event) => {
              const section = event.currentTarget.closest('section');
              change(addOwnFlag);
              focusLastText(section);
            }}
          >
            Raise a flag
          </Button>
        </p>
      ) : null}
    </section>
  );
}

/** The plain page for the keeper. Nothing is in it until it is asked for, and a beginning stays marked until it was read. */
export function KeeperField({ c, draft, change }: { c: CaseView; draft: OpinionDraft; change: Change }) {
  const begin = () =>
    change((now) => ({
      keeperPage: startKeeperPage({
        patientName: c.patient.name,
        species: c.patient.species,
        recheckOn: now.recheckOn,
      }),
    }));
  return (
    <section className="stack-tight" aria-labelledby="keeper-page">
      <h3 id="keeper-page">Page for the keeper</h3>
      <p className="hint">
        Plain words, no doses, no numbers of the heart. A vet of the practice releases it, or does not.
      </p>
      <PhraseArea
        label="For the keeper"
        place="keeperPage"
        rows={draft.keeperPage === '' ? 2 : 12}
        maxLength={4000}
        value={draft.keeperPage}
        onChange={(text) => change(() => ({ keeperPage: text }))}
      />
      {draft.keeperPage.includes(TO_BE_CHECKED) ? (
        <Notice level="look">
          This is a beginning made by the machine. Read it, change it, and take out its first line.
        </Notice>
      ) : null}
      {draft.keeperPage.trim() === '' ? (
        <p className="row">
          <Button onClick={begin}>Begin with what to watch</Button>
        </p>
      ) : null}
    </section>
  );
}
