import type { CaseView, InterpretationInput, SendingPreview } from '@chordae/contract';
import { compareIdentity } from '@chordae/dicom';
import { interpret, numbersHashOf, sendingBlockers, urgencyThatStands } from '@chordae/interpretation';
import { ApiError, call } from '../../host/api';
import { device } from '../../host/device';
import { type UploadItem, unfinished } from '../../host/uploads/upload-state';
import { uploads } from '../../host/uploads/uploads';
import type { CasePlace } from '../../host/use-case';
import { liveInput } from './case-input';

/** What is looked over before sending; what only the server can say is left out. */
export type SeenHere = Omit<SendingPreview, 'dueAt' | 'readNow' | 'nextOpensAt'>;

export interface LookedOver {
  /** Revision and numbers that were seen: what is sent later must be the same. */
  readonly base: number;
  readonly inputHash: string;
  readonly groupName: string;
  readonly preview: SeenHere;
  /** What the server says of times; null without a network. */
  readonly times: Pick<SendingPreview, 'dueAt' | 'readNow' | 'nextOpensAt'> | null;
}

/** A line on which nothing answers for so long is none. */
const ANSWER_MS = 15_000;

/** What stands in the way of sending, by the server; without a network by the same rules from what this device knows. */
export async function lookOver(place: CasePlace): Promise<LookedOver> {
  const c = await call('getCase', { params: { ...place } });
  const input = liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} });
  const seen = {
    base: c.referral.revision,
    inputHash: numbersHashOf(input),
    groupName: c.referral.groupName,
  };
  try {
    if (!navigator.onLine && device.durable) throw new ApiError('NO_NETWORK', '');
    const there = await call('previewSending', {
      params: { ...place },
      signal: AbortSignal.timeout(ANSWER_MS),
    });
    return { ...seen, preview: there, times: there };
  } catch (error) {
    const noLine = error instanceof ApiError && ['NO_NETWORK', 'STARTING'].includes(error.code);
    if (!noLine || !device.durable) throw error;
    const files = uploads.read().filter((i) => i.referralId === place.referralId);
    return { ...seen, preview: previewHere(c, input, files), times: null };
  }
}

/** The preview from what this device knows: kept answers, what was typed since, and the headers of files that lie here. */
export function previewHere(c: CaseView, input: InterpretationInput, files: readonly UploadItem[]): SeenHere {
  const { referral, agreement } = c;
  const { urgencyProposed } = interpret(input);
  const here = unfinished(files);
  const known = new Set(here.map((f) => f.arrivalId));
  const begun = c.arrivals.filter(
    (a) => ['expected', 'arriving', 'arrived'].includes(a.state) && !known.has(a.id),
  );
  const filesOnTheWay = here.length + begun.length;
  const dates = new Map(c.scans.map((s) => [s.id, s.scannedOn]));
  const waiting = here.map((f) => ({ ...f, id: f.arrivalId, machine: f.header?.machine ?? null }));
  const identity = [...c.clips, ...waiting].flatMap(({ id, fileName, scanId, machine }) =>
    machine
      ? compareIdentity(
          { clipId: id, fileName: fileName ?? '', machine },
          c.patient,
          dates.get(scanId) ?? c.scans[0]?.scannedOn ?? '',
        )
      : [],
  );
  const blockers = sendingBlockers({
    question: referral.question,
    clips: c.clips,
    filesOnTheWay,
    measurements: input.measurements.length,
    observations: input.observations.length,
  });
  if (agreement === null) blockers.unshift({ code: 'AGREEMENT_MISSING', field: 'groupId', data: {} });
  return {
    blockers,
    identity,
    stillArriving: filesOnTheWay,
    urgencyProposed,
    urgencyThatStands: urgencyThatStands(referral.urgencyAsked, urgencyProposed, referral.urgencyReason),
    groupPhone: agreement?.groupPhone ?? '',
    emergencyContact: agreement?.emergencyContact ?? '',
  };
}
