import type { CaseView, OpinionDraft, Structure, StructureFinding } from '@chordae/contract';
import { capital, structureNames } from '@chordae/words';
import type { KeyboardEvent } from 'react';
import { useRef, useState } from 'react';
import { call } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { usePatchQueue } from '../../host/use-patch-queue';
import { Button } from '../../kit/button';
import { Choices, TextArea, TextField } from '../../kit/field';
import { Conflicts, SavedState } from '../../kit/saved';
import { SignDialog } from './sign-dialog';

const STATES: readonly (readonly [StructureFinding['state'], string])[] = [
  ['not-assessed', 'Not assessed'],
  ['not-seen', 'Not seen'],
  ['described', 'Described'],
];
const FIELD_NAMES: Record<string, string> = {
  findings: 'the findings',
  conclusion: 'the conclusion',
  stage: 'the stage',
  next: 'what to do next',
  rescan: 'what to scan again',
  technique: 'the note on technique',
};

/** The opinion as it is written: every structure starts as 'not assessed'. */
export function OpinionPanel({ c, draft }: { c: CaseView; draft: OpinionDraft }) {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [signing, setSigning] = useState(false);
  const saved = usePatchQueue(
    draft.revision,
    (patch) => call('patchOpinion', { params: place, body: patch }),
    reread,
  );
  const shown: OpinionDraft = { ...draft, ...saved.own };
  const set = (fields: Record<string, unknown>) => saved.queue.set(fields);
  const finding = (structure: Structure): StructureFinding =>
    shown.findings[structure] ?? { state: 'not-assessed', text: '', proposed: null };
  // Two keys may come before the next paint: the second must rest on what the first has set.
  const findings = useRef(shown.findings);
  findings.current = shown.findings;
  const setFinding = (structure: Structure, part: Partial<StructureFinding>) => {
    const before = findings.current[structure] ?? { state: 'not-assessed', text: '', proposed: null };
    findings.current = { ...findings.current, [structure]: { ...before, ...part } };
    set({ findings: findings.current });
  };
  const structures = Object.keys(structureNames) as Structure[];
  return (
    <div
      className="stack"
      onKeyDown={(event) => {
        if (event.key !== 'Enter' || !(event.ctrlKey || event.metaKey)) return;
        event.preventDefault();
        setSigning(true);
      }}
    >
      <p className="row">
        <SavedState views={[saved]} />
      </p>
      <Conflicts
        conflicts={saved.conflicts}
        nameOf={(field) => FIELD_NAMES[field] ?? field}
        onResolve={(field, keep) => saved.queue.resolve(field, keep)}
      />
      <TextArea
        label="Conclusion"
        rows={4}
        value={shown.conclusion}
        onChange={(e) => set({ conclusion: e.target.value })}
      />
      <TextArea
        label="What to do next"
        rows={3}
        value={shown.next}
        onChange={(e) => set({ next: e.target.value })}
      />
      <TextField label="Stage" wide value={shown.stage} onChange={(e) => set({ stage: e.target.value })} />
      <h3>Findings</h3>
      <p className="hint">
        On a structure: <kbd className="key">N</kbd> not seen, and on to the next;{' '}
        <kbd className="key">D</kbd> described.
      </p>
      {structures.map((structure) => (
        <Finding
          key={structure}
          name={capital(structureNames[structure])}
          found={finding(structure)}
          onChange={(part) => setFinding(structure, part)}
        />
      ))}
      <TextArea
        label="To scan again"
        rows={2}
        value={shown.rescan}
        onChange={(e) => set({ rescan: e.target.value })}
      />
      <TextArea
        label="On technique"
        rows={2}
        value={shown.technique}
        onChange={(e) => set({ technique: e.target.value })}
      />
      <p className="row">
        <Button look="main" keyHint="Ctrl Enter" onClick={() => setSigning(true)}>
          Sign …
        </Button>
      </p>
      {signing ? (
        <SignDialog c={c} settle={() => saved.queue.settle()} onClose={() => setSigning(false)} />
      ) : null}
    </div>
  );
}

function Finding({
  name,
  found,
  onChange,
}: {
  name: string;
  found: StructureFinding;
  onChange: (part: Partial<StructureFinding>) => void;
}) {
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => {
    if (!(event.target as HTMLElement).matches('input[type=radio]')) return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key !== 'n' && key !== 'd') return;
    event.preventDefault();
    onChange({ state: key === 'n' ? 'not-seen' : 'described' });
    const here = event.currentTarget;
    // On at once, so that a second key pressed quickly finds the next structure; the text is there only once it is drawn.
    if (key === 'n')
      here.nextElementSibling?.querySelector<HTMLElement>('input[type=radio]:checked')?.focus();
    else setTimeout(() => here.querySelector<HTMLElement>('textarea')?.focus(), 0);
  };
  return (
    <div className="finding" onKeyDown={onKey}>
      <Choices
        label={name}
        choices={STATES}
        value={found.state}
        onChoose={(state) => onChange({ state: state as StructureFinding['state'] })}
      />
      {found.state === 'described' ? (
        <TextArea
          label={`${name}: what was seen`}
          rows={2}
          value={found.text}
          onChange={(e) => onChange({ text: e.target.value })}
        />
      ) : null}
    </div>
  );
}
