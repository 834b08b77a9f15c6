import type { LeftWork, RouteName } from '@chordae/contract';
import { type Ask, call, sentenceOf } from '../../host/api';
import { uploads } from '../../host/uploads/uploads';

/** One entry of handed-over work, as the device of who left wrote it down. */
interface LeftOp {
  readonly route: RouteName;
  readonly params: Readonly<Record<string, string>>;
  readonly body: unknown;
  readonly about: string;
}
interface LeftUpload {
  readonly upload: true;
  readonly arrivalId: string;
  readonly referralId: string;
  readonly scanId: string;
  readonly fileName: string;
}
interface LeftConflict {
  readonly unsettled: true;
  readonly about: string;
  readonly field: string;
  readonly yours: unknown;
}

/** What lies in a handed-over work, sorted into what can be entered, what a person must read, and what is no longer possible. */
export interface SortedWork {
  readonly ops: readonly LeftOp[];
  readonly uploads: readonly LeftUpload[];
  readonly conflicts: readonly LeftConflict[];
  /** Nobody signs for somebody else: the text is entered as a draft, the signature is not. */
  readonly signatures: number;
  /** Referrals that were asked for and never sent, by patient: somebody has to look them over and send them. */
  readonly unsent: readonly string[];
}

/** Only writes about patients, cases and reports are entered again; anything else a device may have kept is left out. */
const ENTERED: ReadonlySet<string> = new Set([
  'putPatient',
  'patchPatient',
  'putKeeper',
  'putWeight',
  'putReferral',
  'patchReferral',
  'putScan',
  'patchScan',
  'putMeasurement',
  'putObservation',
  'patchClip',
  'patchReport',
]);

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;

export function sortWork(work: Pick<LeftWork, 'ops'>): SortedWork {
  const ops: LeftOp[] = [];
  const files: LeftUpload[] = [];
  const conflicts: LeftConflict[] = [];
  const unsent: string[] = [];
  let signatures = 0;
  for (const entry of work.ops) {
    if (!isRecord(entry)) continue;
    if (entry['upload'] === true) files.push(entry as unknown as LeftUpload);
    else if (entry['unsettled'] === true) conflicts.push(entry as unknown as LeftConflict);
    else if (entry['route'] === 'signReport') signatures += 1;
    else if (entry['route'] === 'sendReferral')
      unsent.push(typeof entry['about'] === 'string' ? entry['about'] : '');
    else if (typeof entry['route'] === 'string' && ENTERED.has(entry['route']))
      ops.push(entry as unknown as LeftOp);
  }
  return { ops, uploads: files, conflicts, signatures, unsent };
}

export interface Replayed {
  readonly entered: number;
  /** What the service refused, with its sentence. */
  readonly refused: readonly { readonly about: string; readonly says: string }[];
}

/**
 * Enters handed-over work under the name of who takes it: every write in its order, then the files. All ids are those of
 * the device, so doing it twice enters nothing twice.
 */
export async function replayLeft(practiceId: string, work: LeftWork): Promise<Replayed> {
  const sorted = sortWork(work);
  const refused: { about: string; says: string }[] = [];
  let entered = 0;
  for (const op of sorted.ops) {
    // Only into the practice that it was handed to, whatever the entry says.
    const params = { ...op.params, practiceId };
    try {
      await (call as (name: RouteName, ask: Ask & { body: unknown }) => Promise<unknown>)(op.route, {
        params,
        body: op.body,
      });
      entered += 1;
    } catch (error) {
      refused.push({ about: op.about, says: sentenceOf(error) });
    }
  }
  for (const file of sorted.uploads) {
    if (!work.files.some((f) => f.id === file.arrivalId)) continue;
    const url = `/api/practices/${practiceId}/left-work/${work.id}/files/${file.arrivalId}`;
    const reply = await fetch(url, { credentials: 'same-origin' });
    if (!reply.ok) {
      refused.push({ about: file.fileName, says: 'The file could not be fetched. Try again.' });
      continue;
    }
    const place = { practiceId, referralId: file.referralId, scanId: file.scanId };
    uploads.add(place, [new File([await reply.blob()], file.fileName)]);
    entered += 1;
  }
  return { entered, refused };
}
