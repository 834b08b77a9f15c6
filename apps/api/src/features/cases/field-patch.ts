import type { FieldConflict } from '@chordae/contract';
import type { FieldRevisions } from './cases.tables';

export interface PatchResult {
  /** Fields to write: changed by this patch and by nobody since its base. */
  readonly accepted: Record<string, unknown>;
  readonly conflicts: FieldConflict[];
  readonly fieldRevisions: FieldRevisions;
  readonly revision: number;
  /** Fields of the patch that now hold its value, with the revision at which each got it. */
  readonly stands: Record<string, number>;
}

/**
 * Merges one patch into a row. A field that somebody else changed after `base` is not overwritten: it comes back as a
 * conflict with both values, unless both typed the same. A patch that changes nothing keeps the revision.
 */
export function mergePatch(
  row: { revision: number; fieldRevisions: FieldRevisions; values: Record<string, unknown> },
  patch: { base: number; bases?: Record<string, number> | undefined; fields: Record<string, unknown> },
  by: string,
): PatchResult {
  const accepted: Record<string, unknown> = {};
  const conflicts: FieldConflict[] = [];
  const stands: Record<string, number> = {};
  const fieldRevisions: FieldRevisions = { ...row.fieldRevisions };
  const revision = row.revision + 1;
  for (const [field, yours] of Object.entries(patch.fields)) {
    if (yours === undefined) continue;
    const theirs = row.values[field];
    const last = row.fieldRevisions[field];
    if (same(yours, theirs)) {
      stands[field] = last?.at ?? 1;
      continue;
    }
    if (last && last.at > (patch.bases?.[field] ?? patch.base))
      conflicts.push({ field, yours, theirs, by: last.by });
    else {
      accepted[field] = yours;
      stands[field] = revision;
      fieldRevisions[field] = { at: revision, by };
    }
  }
  const changed = Object.keys(accepted).length > 0;
  return {
    accepted,
    conflicts,
    fieldRevisions: changed ? fieldRevisions : row.fieldRevisions,
    revision: changed ? revision : row.revision,
    stands,
  };
}

/** Fields that somebody else changed after the revision that the person `name` saw. */
export function changedByOthers(
  row: { readonly fieldRevisions: FieldRevisions },
  seen: { readonly base: number; readonly name: string; readonly fields: readonly string[] },
): string[] {
  return seen.fields.filter((field) => {
    const last = row.fieldRevisions[field];
    return last !== undefined && last.at > seen.base && last.by !== seen.name;
  });
}

function same(a: unknown, b: unknown): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
