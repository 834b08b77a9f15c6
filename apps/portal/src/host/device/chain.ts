import type { FieldConflict, PatchReply } from '@chordae/contract';
import type { Patch } from '../patch-queue';
import type { KeptConflict, RowState } from './kept';

/**
 * How a patch that waited rests on the ones before it. One's own text must never conflict with itself, and another's
 * text must never be overwritten by somebody who has not seen it.
 */

/** The revision of a field that the writer of a patch had seen. */
export function seenOf(patch: Patch, field: string): number {
  return patch.bases?.[field] ?? patch.base;
}

/**
 * A patch as it is kept: a field of which an earlier patch waits still has been seen no further than that patch had,
 * whatever revision the page holds by now, because the page showed one's own text over it.
 */
export function keptPatch(patch: Patch, before: readonly Patch[]): Patch {
  const bases: Record<string, number> = {};
  for (const field of Object.keys(patch.fields)) {
    const earlier = before.filter((p) => field in p.fields).map((p) => seenOf(p, field));
    bases[field] = Math.min(seenOf(patch, field), ...earlier);
  }
  return { ...patch, bases };
}

export interface ToSend {
  /** null: every field waits for a choice, nothing is sent. */
  readonly patch: Patch | null;
  /** Conflicts whose own side is now this newer text. */
  readonly held: readonly KeptConflict[];
  /** Fields whose conflict this patch settles: its writer has seen the other's text. */
  readonly chosen: readonly string[];
}

/** The patch that goes to the server: rested on one's own earlier ones, without the fields that wait for a choice. */
export function patchToSend(patch: Patch, row: RowState | null, conflicts: readonly KeptConflict[]): ToSend {
  const fields: Record<string, unknown> = {};
  const bases: Record<string, number> = {};
  const held: KeptConflict[] = [];
  const chosen: string[] = [];
  for (const [field, value] of Object.entries(patch.fields)) {
    const conflict = conflicts.find((c) => c.field === field);
    const seen = seenOf(patch, field);
    if (conflict && seen < conflict.revision) held.push({ ...conflict, yours: value });
    else {
      if (conflict) chosen.push(field);
      fields[field] = value;
      bases[field] = Math.max(seen, row?.stands[field] ?? 0);
    }
  }
  const some = Object.keys(fields).length > 0;
  return { patch: some ? { ...patch, bases, fields } : null, held, chosen };
}

/** What this device knows of a row after a reply. */
export function rowAfter(
  before: RowState | null,
  of: Pick<RowState, 'key' | 'memberId' | 'practiceId'>,
  reply: Pick<PatchReply, 'revision' | 'stands'>,
): RowState {
  return {
    ...of,
    stands: { ...before?.stands, ...reply.stands },
    revision: Math.max(before?.revision ?? 0, reply.revision),
  };
}

/** The answer a page gets for a patch that is kept and not sent: nothing stands on the server yet. */
export function keptReply(patch: Patch): PatchReply {
  return { revision: patch.base, applied: Object.keys(patch.fields), conflicts: [], stands: {} };
}

/** A conflict of a reply, made to last until somebody has chosen. */
export function conflictOf(
  found: FieldConflict,
  of: Omit<KeptConflict, 'key' | keyof FieldConflict>,
): KeptConflict {
  const { field, yours, theirs, by } = found;
  return { ...of, key: `${of.memberId}|${of.row}|${field}`, field, yours, theirs, by };
}
