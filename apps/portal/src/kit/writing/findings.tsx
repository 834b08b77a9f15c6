import type { OpinionText, Structure, StructureFinding } from '@chordae/contract';
import { capital, type FindingProposal, structureNames } from '@chordae/words';
import type { KeyboardEvent } from 'react';
import { Button } from '../button';
import { Choices } from '../field';
import { PhraseArea } from './phrase-area';

export const FINDING_STATES: readonly (readonly [StructureFinding['state'], string])[] = [
  ['not-assessed', 'Not assessed'],
  ['not-seen', 'Not seen'],
  ['described', 'Described'],
];
export const NOT_ASSESSED: StructureFinding = { state: 'not-assessed', text: '', proposed: null };

type Change = (make: (now: { findings: OpinionText['findings'] }) => Partial<OpinionText>) => void;

/** Every structure begins as 'not assessed'. What the machine proposes is marked as its own until somebody accepts it. */
export function OpinionFindings({
  findings,
  proposals,
  change,
}: {
  findings: OpinionText['findings'];
  proposals: readonly FindingProposal[];
  change: Change;
}) {
  const set = (structure: Structure, part: Partial<StructureFinding>) =>
    change((now) => ({
      findings: { ...now.findings, [structure]: { ...(now.findings[structure] ?? NOT_ASSESSED), ...part } },
    }));
  return (
    <div className="findings">
      <h3>Findings</h3>
      <p className="hint keys-hint">
        On a structure: <kbd className="key">N</kbd> not seen, <kbd className="key">A</kbd> accept what is
        proposed, both on to the next; <kbd className="key">D</kbd> described.
      </p>
      {proposals.map((proposal) => (
        <Finding
          key={proposal.structure}
          proposal={proposal}
          found={findings[proposal.structure] ?? NOT_ASSESSED}
          onChange={(part) => set(proposal.structure, part)}
        />
      ))}
    </div>
  );
}

function Finding({
  proposal,
  found,
  onChange,
}: {
  proposal: FindingProposal;
  found: StructureFinding;
  onChange: (part: Partial<StructureFinding>) => void;
}) {
  const name = capital(structureNames[proposal.structure]);
  const accept = () => {
    if (proposal.text === null) return false;
    onChange({ state: 'described', text: proposal.text, proposed: proposal.text });
    return true;
  };
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => {
    if ((event.target as HTMLElement).matches('textarea')) return;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key !== 'n' && key !== 'd' && key !== 'a') return;
    event.preventDefault();
    // The desk has keys of its own.
    event.stopPropagation();
    if (key === 'a' && !accept()) return;
    if (key !== 'a') onChange({ state: key === 'n' ? 'not-seen' : 'described' });
    const here = event.currentTarget;
    // On at once, so that a second key pressed quickly finds the next structure; the text is there only once it is drawn.
    if (key === 'd') setTimeout(() => here.querySelector<HTMLElement>('textarea')?.focus(), 0);
    else here.nextElementSibling?.querySelector<HTMLElement>('input[type=radio]:checked')?.focus();
  };
  return (
    <div className="finding" onKeyDown={onKey}>
      <Choices
        label={name}
        choices={FINDING_STATES}
        value={found.state}
        onChoose={(state) => onChange({ state: state as StructureFinding['state'] })}
      />
      {found.state === 'described' ? (
        <Described name={name} found={found} proposal={proposal} onChange={onChange} />
      ) : (
        <Proposed name={name} proposal={proposal} onAccept={accept} />
      )}
    </div>
  );
}

function Described({
  name,
  found,
  proposal,
  onChange,
}: {
  name: string;
  found: StructureFinding;
  proposal: FindingProposal;
  onChange: (part: Partial<StructureFinding>) => void;
}) {
  const untouched = found.proposed !== null && found.text === found.proposed;
  // Numbers that came since have changed the sentence: the accepted one stands until the reader takes the new one.
  const newer = untouched && proposal.text !== null && proposal.text !== found.proposed;
  return (
    <>
      <PhraseArea
        label={`${name}: what was seen`}
        rows={3}
        place={proposal.structure}
        maxLength={2000}
        value={found.text}
        onChange={(text) => onChange({ text })}
      />
      {untouched ? <p className="hint">Accepted as it was proposed.</p> : null}
      {newer || (found.text.trim() === '' && proposal.text !== null) ? (
        <Proposed
          name={name}
          proposal={proposal}
          onAccept={() => onChange({ text: proposal.text ?? '', proposed: proposal.text })}
        />
      ) : null}
    </>
  );
}

function Proposed({
  name,
  proposal,
  onAccept,
}: {
  name: string;
  proposal: FindingProposal;
  onAccept: () => void;
}) {
  if (proposal.text === null)
    return (
      <p className="hint proposal-none" title={proposal.because}>
        Nothing is proposed. {whyNothing(proposal.because)}
      </p>
    );
  return (
    <div className="proposal">
      <p>
        <b className="proposal-mark">Proposed</b> {proposal.text}
      </p>
      <p className="row">
        <Button look="quiet" aria-label={`Accept what is proposed for: ${name}`} onClick={() => onAccept()}>
          Accept
        </Button>
        <span className="hint">{proposal.because}</span>
      </p>
    </div>
  );
}

/** The sentence that says why; where it would be seen, or what was judged, is in the title. */
function whyNothing(because: string): string {
  const why = because.split(/(?<=\.) /).find((sentence) => /^No(thing)? /.test(sentence));
  return why ?? because;
}
