import type { FieldConflict } from '@chordae/contract';
import type { PatchQueueView } from '../host/patch-queue';
import { Button } from './button';

const WORDS = {
  saved: 'All saved',
  changed: 'Not saved yet',
  saving: 'Saving …',
  failed: 'Not saved: kept here and tried again',
} as const;

/** Says whether what was typed has reached the server. */
export function SavedState({ views }: { views: readonly PatchQueueView[] }) {
  const order = ['failed', 'changed', 'saving', 'saved'] as const;
  const state = order.find((s) => views.some((v) => v.state === s)) ?? 'saved';
  const problem = views.find((v) => v.problem)?.problem;
  return (
    <span className={`saved saved-${state}`} role="status">
      {WORDS[state]}
      {state === 'failed' && problem ? `. ${problem}` : ''}
    </span>
  );
}

function shown(value: unknown): string {
  if (value === null || value === '') return '(empty)';
  return typeof value === 'string' ? value : JSON.stringify(value);
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
        <dd>{shown(c.yours)}</dd>
        <dt>Theirs</dt>
        <dd>{shown(c.theirs)}</dd>
      </dl>
      <p className="row">
        <Button onClick={() => onResolve(c.field, 'yours')}>Keep mine</Button>
        <Button onClick={() => onResolve(c.field, 'theirs')}>Take theirs</Button>
      </p>
    </div>
  ));
}
