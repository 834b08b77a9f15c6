import type { PatientRecord, RouteName, WeightRecord } from '@chordae/contract';
import type { Patch } from '../patch-queue';
import type { BodyOf } from '../route-fetch';
import { keptReply } from './chain';
import { foldPatient } from './fold-patient';
import { visitOf } from './fold-rounds';
import type { Op } from './kept';
import { NO_NUMBER, NOT_ASKED } from './world';

type Params = Readonly<Record<string, string>>;

export interface WriteSpec {
  /** What it makes or changes. The first is whose page shows it. */
  readonly keys: (params: Params, body: unknown, homes: Homes) => readonly string[];
  /** What must be there before. */
  readonly needs?: (params: Params, body: unknown, homes: Homes) => readonly string[];
  /** The row whose fields it changes; only for bodies with `base` and `fields`. */
  readonly row?: (params: Params) => string;
  /** What a page is told while it waits. */
  readonly meanwhile: (op: Op) => unknown;
  readonly needsPassword?: boolean;
  /** Revisions and the like that are known only when it is sent, after the ops before it. */
  readonly fill?: (
    body: never,
    params: Params,
    revisionOf: (row: string) => Promise<number | null>,
  ) => Promise<unknown>;
}

/** To which case a scan or a clip belongs, as far as this device has seen. */
export interface Homes {
  readonly ofScan: (scanId: string) => string | null;
  readonly ofClip: (clipId: string) => string | null;
  /** Patient and scans of a case. */
  readonly partsOf: (caseId: string) => readonly string[];
}

export const keyOf = {
  case: (params: Params) => `case:${params['referralId'] ?? ''}`,
  patient: (params: Params) => `patient:${params['patientId'] ?? ''}`,
  scan: (scanId: string) => `scan:${scanId}`,
  sending: (referralId: string) => `sending:${referralId}`,
} as const;

/** Names of the rows that patches change: `usePatchQueue` takes one, so that conflicts are shown where they arose. */
export const rowOf = {
  patient: (patientId: string) => `patient:${patientId}`,
  referral: (referralId: string) => `referral:${referralId}`,
  scan: (scanId: string) => `scan:${scanId}`,
  report: (referralId: string) => `report:${referralId}`,
  round: (roundId: string) => `round:${roundId}`,
  visit: (visitId: string) => `visit:${visitId}`,
} as const;

const done = () => ({ ok: true as const });
const patched = (op: Op) => keptReply(op.body as Patch);
const inHome = (caseId: string | null, own: string) => (caseId ? [`case:${caseId}`, own] : [own]);

/**
 * The writes that may wait on a device. Each id is made here and each PUT may be repeated, so a write whose reply was
 * lost is simply sent again. To let one more wait: a line here, and a fold in read-routes.ts so that it is seen at once, and its words in
 * packages/words/src/en/device.ts.
 */
export const WRITES: Partial<Record<RouteName, WriteSpec>> = {
  putPatient: {
    keys: (params) => [keyOf.patient(params)],
    meanwhile: (op) => foldPatient(null, op),
  },
  patchPatient: {
    keys: (params) => [keyOf.patient(params)],
    row: (params) => rowOf.patient(params['patientId'] ?? ''),
    meanwhile: patched,
  },
  putKeeper: {
    keys: (params) => [keyOf.patient(params)],
    meanwhile: (op) => op.body,
  },
  putWeight: {
    keys: (params) => [keyOf.patient(params)],
    meanwhile: (op): WeightRecord => ({
      ...(op.body as BodyOf<'putWeight'>),
      id: op.params['weightId'] ?? '',
    }),
  },
  putReferral: {
    keys: (params, body) => [keyOf.case(params), keyOf.scan((body as BodyOf<'putReferral'>).scanId)],
    needs: (_params, body) => [`patient:${(body as BodyOf<'putReferral'>).patientId}`],
    meanwhile: () => ({ revision: 1, number: NO_NUMBER }),
  },
  patchReferral: {
    keys: (params) => [keyOf.case(params)],
    row: (params) => rowOf.referral(params['referralId'] ?? ''),
    meanwhile: patched,
  },
  putScan: {
    keys: (params) => [keyOf.case(params), keyOf.scan(params['scanId'] ?? '')],
    meanwhile: (op) => ({
      id: op.params['scanId'] ?? '',
      patientId: '',
      scannedOn: (op.body as BodyOf<'putScan'>).scannedOn,
      operator: '',
      machine: '',
      state: NOT_ASKED,
      revision: 1,
    }),
  },
  patchScan: {
    keys: (params, _body, homes) =>
      inHome(homes.ofScan(params['scanId'] ?? ''), keyOf.scan(params['scanId'] ?? '')),
    row: (params) => rowOf.scan(params['scanId'] ?? ''),
    meanwhile: patched,
  },
  patchReport: {
    keys: (params) => [keyOf.case(params)],
    row: (params) => rowOf.report(params['referralId'] ?? ''),
    meanwhile: patched,
  },
  // Until the server has confirmed it nothing is signed: the page shows a pending signature from the outbox itself.
  signReport: {
    keys: (params) => [keyOf.case(params)],
    needsPassword: true,
    meanwhile: (op) => ({ signedId: (op.body as { signedId: string }).signedId, sha256: '' }),
  },
  putReportMessage: {
    keys: (params) => [keyOf.case(params)],
    meanwhile: (op) => ({
      id: op.params['messageId'] ?? '',
      side: 'sonographer' as const,
      text: (op.body as { text: string }).text,
      by: '',
      at: op.saidAt,
    }),
  },
  // It rests on all of its case. Refused, it holds back nothing: what was missing is written behind it.
  sendReferral: {
    keys: (params) => [keyOf.sending(params['referralId'] ?? '')],
    needs: (params, _body, homes) => [keyOf.case(params), ...homes.partsOf(params['referralId'] ?? '')],
    meanwhile: () => ({ revision: 1 }),
  },
  putRound: {
    keys: (params) => [`round:${params['roundId'] ?? ''}`],
    meanwhile: () => ({ revision: 1 }),
  },
  patchRound: {
    keys: (params) => [`round:${params['roundId'] ?? ''}`],
    row: (params) => rowOf.round(params['roundId'] ?? ''),
    meanwhile: patched,
  },
  closeRound: {
    keys: (params) => [`round:${params['roundId'] ?? ''}`],
    meanwhile: () => ({ revision: 1 }),
  },
  putVisit: {
    keys: (params) => [`visit:${params['visitId'] ?? ''}`],
    needs: (_params, body) => pointers(body as Partial<BodyOf<'putVisit'>>),
    meanwhile: (op) => visitOf(op),
  },
  patchVisit: {
    keys: (params) => [`visit:${params['visitId'] ?? ''}`],
    needs: (_params, body) => pointers((body as { fields: Partial<BodyOf<'putVisit'>> }).fields),
    row: (params) => rowOf.visit(params['visitId'] ?? ''),
    meanwhile: patched,
  },
  putMeasurement: {
    keys: (params) => [keyOf.case(params)],
    meanwhile: done,
  },
  putObservation: {
    keys: (params) => [keyOf.case(params)],
    meanwhile: done,
  },
  patchClip: {
    keys: (params, _body, homes) =>
      inHome(homes.ofClip(params['clipId'] ?? ''), `clip:${params['clipId'] ?? ''}`),
    meanwhile: done,
  },
};

/** What a visit points at must be there before it. */
function pointers(of: Partial<BodyOf<'putVisit'>>): string[] {
  return [
    ...(of.roundId ? [`round:${of.roundId}`] : []),
    ...(of.patientId ? [`patient:${of.patientId}`] : []),
    ...(of.referralId ? [`case:${of.referralId}`] : []),
  ];
}

/** Name of the patient that a write is about, where the write itself says it. */
export function namedIn(route: RouteName, body: unknown): string | null {
  if (route === 'putVisit') return (body as BodyOf<'putVisit'>).planned.name;
  return route === 'putPatient' ? (body as Pick<PatientRecord, 'name'>).name : null;
}
