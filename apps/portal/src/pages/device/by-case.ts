import type { KeptConflict, Op } from '../../host/device';
import type { KeptUpload } from '../../host/uploads/upload-store';

/** What waits of one case, or of a patient without one. */
export interface CaseOnDevice {
  /** Referral, where there is one. */
  readonly referralId: string | null;
  readonly key: string;
  readonly about: string;
  readonly ops: readonly Op[];
  readonly files: readonly KeptUpload[];
  readonly conflicts: readonly KeptConflict[];
  /** What the clock of this device said when the oldest of it was made. */
  readonly since: string | null;
}

function caseKeyOf(keys: readonly string[]): string {
  // Sending a case is shown with it, though nothing of the case rests on it.
  const of = keys.map((k) => k.replace(/^sending:/, 'case:'));
  return of.find((k) => k.startsWith('case:')) ?? of[0] ?? 'other';
}

/** Groups what waits of one practice by case, in the order in which it was begun. */
export function byCase(
  ops: readonly Op[],
  files: readonly KeptUpload[],
  conflicts: readonly KeptConflict[],
): readonly CaseOnDevice[] {
  // A patient made for a case is shown with it.
  const caseOfPatient = new Map<string, string>();
  for (const op of ops)
    for (const need of op.needs) if (!caseOfPatient.has(need)) caseOfPatient.set(need, caseKeyOf(op.keys));
  const keyOf = (keys: readonly string[]) => {
    const key = caseKeyOf(keys);
    return caseOfPatient.get(key) ?? key;
  };
  const keys = new Set<string>([
    ...ops.map((o) => keyOf(o.keys)),
    ...conflicts.map((c) => keyOf(c.keys)),
    ...files.map((f) => `case:${f.referralId}`),
  ]);
  return [...keys].map((key) => {
    const mine = ops.filter((o) => keyOf(o.keys) === key);
    const choices = conflicts.filter((c) => keyOf(c.keys) === key);
    return {
      key,
      referralId: key.startsWith('case:') ? key.slice('case:'.length) : null,
      about: [...mine, ...choices].find((o) => o.about !== '')?.about ?? '',
      ops: mine,
      files: files.filter((f) => `case:${f.referralId}` === key),
      conflicts: choices,
      since: mine[0]?.saidAt ?? null,
    };
  });
}
