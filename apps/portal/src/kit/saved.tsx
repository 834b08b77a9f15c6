import type { FieldConflict } from '@chordae/contract';
import { heldBack, useDevice, useLine } from '../host/device';
import type { PatchQueueView } from '../host/patch-queue';
import { Button } from './button';

const WORDS = {
  saved: 'All saved',
  changed: 'Not saved yet',
  saving: 'Saving …',
  failed: 'Not saved yet: it stays on this page and is tried again',
} as const;

/** Says whether what was typed has reached the server, or is kept on this device until it can; `caseId` where that may be. */
export function SavedState({
  views,
  caseId,
  roundId,
}: {
  views: readonly PatchQueueView[];
  caseId?: string;
  /** A day, whose visits wait with it. */
  roundId?: string;
}) {
  const kept = useKeptOf(caseId ? `case:${caseId}` : roundId ? `round:${roundId}` : null);
  const order = ['failed', 'changed', 'saving', 'saved'] as const;
  const own = order.find((s) => views.some((v) => v.state === s)) ?? 'saved';
  const state = own !== 'saved' ? own : kept === 'going' ? 'saving' : kept === 'held' ? 'changed' : own;
  const problem = views.find((v) => v.problem)?.problem;
  return (
    <span className={`saved saved-${state}`} role="status">
      {state === 'saved' && kept === 'kept' ? KEPT : WORDS[state]}
      {state === 'failed' && problem ? `. ${problem}` : ''}
    </span>
  );
}

const KEPT = 'Kept on this device until there is a network';

/** What becomes of changes of a case that are not on the server yet: kept while there is no line, else on their way, or held up. */
function useKeptOf(key: string | null): 'kept' | 'going' | 'held' | null {
  const line = useLine();
  const { mine } = useDevice();
  const ofIt = key === null ? [] : mine.filter((o) => o.keys.includes(key) || o.needs.includes(key));
  if (ofIt.length === 0) return null;
  if (line === 'down') return 'kept';
  const held = heldBack(mine);
  return ofIt.some((o) => !held.has(o.seq)) ? 'going' : 'held';
}

function shown(value: unknown): string {
  if (value === null || value === '') return '(empty)';
  if (typeof value === 'string') return value;
  if (typeof value !== 'object') return JSON.stringify(value);
  return Object.entries(value as Record<string, unknown>)
    .map(
      ([key, part]) =>
        `${key.replace(/([A-Z0-9]+)/g, ' $1').toLowerCase()}: ${part === null ? 'not asked' : shown(part)}`,
    )
    .join('; ');
}

/** Of two sets of answers only those that differ: the others are no question. */
function differing(value: unknown, other: unknown): unknown {
  if (value === null || other === null || typeof value !== 'object' || typeof other !== 'object')
    return value;
  const there = other as Record<string, unknown>;
  return Object.fromEntries(
    Object.entries(value).filter(([key, part]) => JSON.stringify(part) !== JSON.stringify(there[key])),
  );
}

/** Two people wrote one field: both values, and a choice. */
export function Conflicts({
  conflicts,
  nameOf,
  onResolve,
}: {
  conflicts: readonly FieldConflict[];
  nameOf: (field: string) => string;
  onResolve: (field: string, keep: 'yours' | 'theirs') => void;
}) {
  return conflicts.map((c) => (
    <div key={c.field} className="notice notice-look" role="alert">
      <p>
        {c.by} changed {nameOf(c.field)} while you were writing. Nothing was overwritten.
      </p>
      <dl className="conflict">
        <dt>Yours</dt>
        <dd>{shown(differing(c.yours, c.theirs))}</dd>
        <dt>Theirs</dt>
        <dd>{shown(differing(c.theirs, c.yours))}</dd>
      </dl>
      <p className="row">
        <Button onClick={() => onResolve(c.field, 'yours')}>Keep mine</Button>
        <Button onClick={() => onResolve(c.field, 'theirs')}>Take theirs</Button>
      </p>
    </div>
  ));
}
