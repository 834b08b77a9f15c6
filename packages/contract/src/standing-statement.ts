import type { ClipStatement, ClipStatementRecord } from './clip-statement';

type OfKind<K extends ClipStatement['kind']> = Extract<ClipStatement, { kind: K }>;

/** The statement of a kind that stands for a clip: the reader's newest, else the sender's newest; null where there is none. */
export function standingStatement<K extends ClipStatement['kind']>(
  all: readonly ClipStatementRecord[],
  clipId: string,
  kind: K,
  frame?: number,
): {
  readonly statement: OfKind<K>;
  readonly side: 'sender' | 'reader';
  readonly by: string;
  readonly at: string;
} | null {
  const fits = all.filter(
    (r) =>
      r.clipId === clipId &&
      r.statement.kind === kind &&
      (r.statement.kind !== 'outline' || frame === undefined || r.statement.frame === frame),
  );
  const readers = fits.filter((r) => r.side === 'reader');
  const newest = (readers.length > 0 ? readers : fits).reduce<ClipStatementRecord | null>(
    (best, r) => (best === null || r.at >= best.at ? r : best),
    null,
  );
  return newest ? { ...newest, statement: newest.statement as OfKind<K> } : null;
}
