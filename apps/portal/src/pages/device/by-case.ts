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

type Keyed = { readonly keys: readonly string[]; readonly needs?: readonly string[] };

const caseIn = (keys: readonly string[] = []): string | undefined =>
  // Sending a case is shown with it, though nothing of the case rests on it.
  keys.map((k) => k.replace(/^sending:/, 'case:')).find((k) => k.startsWith('case:'));

/** Under which key each thing is shown: what names a case with it, a patient or a visit made for one as well. */
function places(ops: readonly Op[]): (of: Keyed) => string {
  const home = new Map<string, string>();
  for (const op of ops) {
    const at = caseIn(op.keys) ?? caseIn(op.needs);
    if (at === undefined) continue;
    for (const key of [...op.keys, ...op.needs]) if (!home.has(key)) home.set(key, at);
  }
  return ({ keys, needs }) => {
    const own = keys[0] ?? 'other';
    return caseIn(keys) ?? caseIn(needs) ?? home.get(own) ?? own;
  };
}

/** Groups what waits of one practice by case, in the order in which it was begun. */
export function byCase(
  ops: readonly Op[],
  files: readonly KeptUpload[],
  conflicts: readonly KeptConflict[],
): readonly CaseOnDevice[] {
  const placeOf = places(ops);
  const keys = new Set<string>([
    ...ops.map(placeOf),
    ...conflicts.map(placeOf),
    ...files.map((f) => `case:${f.referralId}`),
  ]);
  return [...keys].map((key) => {
    const mine = ops.filter((o) => placeOf(o) === key);
    const choices = conflicts.filter((c) => placeOf(c) === key);
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
