import type { Organisation, Round, Species } from '@chordae/contract';
import { speciesNames } from '@chordae/words';
import { useState } from 'react';
import { sentenceOf } from '../../host/api';
import { Button } from '../../kit/button';
import { Dialog } from '../../kit/dialog';
import { SelectField, TextArea } from '../../kit/field';
import { Problem } from '../../kit/notice';
import { SPECIES } from '../referrals/patient-fields';
import { type ListLine, readList } from './read-list';
import { addVisits } from './use-rounds';

const EXAMPLE = `Name of a practice
Name; species; breed; sex; age; weight; question`;

/** A day's list as it came by mail or table: pasted, looked over line by line, then put on the round. */
export function PasteDialog({
  round,
  practices,
  onClose,
  onDone,
}: {
  round: Round;
  practices: readonly Organisation[];
  onClose: () => void;
  onDone: () => Promise<void>;
}) {
  const [text, setText] = useState('');
  const [lines, setLines] = useState<ListLine[] | null>(null);
  const [practiceId, setPracticeId] = useState(practices.length === 1 ? (practices[0]?.id ?? '') : '');
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const change = (at: number, part: Partial<ListLine>) =>
    setLines((all) => all?.map((l, i) => (i === at ? { ...l, ...part } : l)) ?? null);
  const look = () => {
    const read = readList(text, practices, new Date(), practiceId || null);
    setProblem(read.length === 0 ? 'No line with a patient was found. One patient a line.' : null);
    setLines(read.length === 0 ? null : read);
  };
  const open = lines?.filter((l) => l.practiceId === null || l.planned.name === '').length ?? 0;
  const add = async () => {
    setBusy(true);
    try {
      await addVisits(
        round,
        (lines ?? []).flatMap((l) =>
          l.practiceId ? [{ practiceId: l.practiceId, planned: l.planned }] : [],
        ),
      );
      await onDone();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
      await onDone();
    } finally {
      setBusy(false);
    }
  };
  return (
    <Dialog title="Paste the day's list" onClose={onClose} wide>
      {lines === null ? (
        <div className="stack">
          <TextArea
            label="One patient a line, under the name of its practice"
            rows={10}
            value={text}
            placeholder={EXAMPLE}
            hint="From a mail, a table with or without headings, or free words. Nothing is stored before you have looked it over."
            onChange={(e) => setText(e.target.value)}
          />
          {practices.length > 1 ? (
            <SelectField
              label="Practice of lines that name none"
              choices={[['', 'choose later, line by line'], ...practices.map((p) => [p.id, p.name] as const)]}
              value={practiceId}
              onChange={(e) => setPracticeId(e.target.value)}
            />
          ) : null}
          {problem ? <Problem>{problem}</Problem> : null}
          <p className="row">
            <Button look="main" keyHint="Ctrl Enter" disabled={text.trim() === ''} onClick={look}>
              Look it over
            </Button>
          </p>
        </div>
      ) : (
        <div className="stack">
          <p>
            {lines.length === 1 ? 'One patient' : `${lines.length} patients`} read. What was not sure is
            empty; it is asked for when the scan is opened.
          </p>
          <ol className="pasted">
            {lines.map((line, i) => (
              <PastedLine
                // biome-ignore lint/suspicious/noArrayIndexKey: lines keep their places while they are looked over
                key={i}
                line={line}
                practices={practices}
                onChange={(part) => change(i, part)}
                onDrop={() => setLines((all) => all?.filter((_, j) => j !== i) ?? null)}
              />
            ))}
          </ol>
          {problem ? <Problem>{problem}</Problem> : null}
          {open > 0 ? (
            <p className="problem">
              {open === 1 ? 'One line needs' : `${open} lines need`} a name and a practice.
            </p>
          ) : null}
          <p className="row">
            <Button
              look="main"
              keyHint="Ctrl Enter"
              disabled={busy || open > 0 || lines.length === 0}
              onClick={() => void add()}
            >
              Put {lines.length === 1 ? 'it' : 'them'} on the round
            </Button>
            <Button onClick={() => setLines(null)}>Back to the text</Button>
          </p>
        </div>
      )}
    </Dialog>
  );
}

function PastedLine({
  line,
  practices,
  onChange,
  onDrop,
}: {
  line: ListLine;
  practices: readonly Organisation[];
  onChange: (part: Partial<ListLine>) => void;
  onDrop: () => void;
}) {
  const { planned: p } = line;
  const set = (part: Partial<typeof p>) => onChange({ planned: { ...p, ...part }, speciesFromBreed: false });
  const rest = [
    p.breedText,
    p.sex ? `${p.sex}${p.neutered === null ? '' : p.neutered ? ', neutered' : ', entire'}` : '',
    p.birth,
    p.weight,
    p.chip ? `chip ${p.chip}` : '',
    p.keeperName || p.keeperPhone ? `keeper ${[p.keeperName, p.keeperPhone].filter(Boolean).join(', ')}` : '',
  ].filter((t) => t !== '');
  return (
    <li className="pasted-line">
      <p className="hint pasted-raw">{line.raw}</p>
      <div className="pasted-fields">
        <input
          aria-label={`Name in: ${line.raw}`}
          value={p.name}
          placeholder="name"
          onChange={(e) => set({ name: e.target.value })}
        />
        <select
          aria-label={`Species of ${p.name || 'this line'}`}
          value={p.species ?? ''}
          onChange={(e) => set({ species: (e.target.value || null) as Species | null })}
        >
          <option value="">species: later</option>
          {SPECIES.map(([id, words]) => (
            <option key={id} value={id}>
              {words}
            </option>
          ))}
        </select>
        <select
          aria-label={`Practice of ${p.name || 'this line'}`}
          value={line.practiceId ?? ''}
          aria-invalid={line.practiceId === null ? true : undefined}
          onChange={(e) => onChange({ practiceId: e.target.value || null })}
        >
          <option value="">choose the practice</option>
          {practices.map((o) => (
            <option key={o.id} value={o.id}>
              {o.name}
            </option>
          ))}
        </select>
        <Button look="quiet" aria-label={`Leave out ${p.name || line.raw}`} onClick={onDrop}>
          Leave out
        </Button>
      </div>
      <p className="hint">
        {line.speciesFromBreed && p.species ? `${speciesNames[p.species]}, from the breed's name. ` : ''}
        {rest.length > 0 ? `${rest.join(' · ')}. ` : ''}
        {p.question ? `Question: ${p.question}` : 'No question.'}
        {p.note ? ` Note: ${p.note}` : ''}
      </p>
    </li>
  );
}
