import type {
  CaseView,
  MeasurementEntry,
  MeasurementRecord,
  ObservationEntry,
  ObservationRecord,
  PatientFields,
  ReferralDraftFields,
  ReportDraft,
  ReportText,
  ScanRecord,
  WeightRecord,
} from '@chordae/contract';
import type { BodyOf } from '../route-fetch';
import { ageInMonths, weightOn } from './fold-patient';
import type { World, Written } from './world';
import { NO_NUMBER, NOT_ASKED } from './world';

type View = CaseView;
type Fold = (view: View, op: Written, world: World) => View;

/** A case with one more write on it, as the server will show it once it has taken the write. */
export function foldCase(
  view: View | null,
  op: Written,
  world: World,
  at: { practiceId: string; referralId: string },
): View | null {
  if (op.params['practiceId'] !== at.practiceId) return view;
  if (view === null)
    return op.route === 'putReferral' && op.params['referralId'] === at.referralId
      ? newCase(op, world)
      : null;
  const fold = FOLDS[op.route as keyof typeof FOLDS];
  return fold ? fold(view, op, world) : view;
}

const ofCase = (view: View, op: Written): boolean => op.params['referralId'] === view.referral.id;

const FOLDS = {
  putPatient: (view) => view,
  patchPatient: (view, op, world) => {
    if (op.params['patientId'] !== view.patient.id || view.referral.sentAt !== null) return view;
    const { fields } = op.body as BodyOf<'patchPatient'>;
    return withPatient(view, { ...view.patient, ...(fields as Partial<PatientFields>) }, world);
  },
  putWeight: (view, op, world) => {
    if (op.params['patientId'] !== view.patient.id || view.referral.sentAt !== null) return view;
    return withPatient(view, view.patient, world, op);
  },
  patchReferral: (view, op, world) => {
    if (!ofCase(view, op)) return view;
    const { fields } = op.body as BodyOf<'patchReferral'>;
    const referral = { ...view.referral, ...(fields as Partial<ReferralDraftFields>) };
    return fields.groupId === undefined ? { ...view, referral } : withGroup({ ...view, referral }, world);
  },
  putScan: (view, op, world) => {
    const id = op.params['scanId'] ?? '';
    if (!ofCase(view, op) || view.scans.some((s) => s.id === id)) return view;
    const { scannedOn } = op.body as BodyOf<'putScan'>;
    return { ...view, scans: [...view.scans, newScan(id, view.patient.id, scannedOn, world)] };
  },
  patchScan: (view, op, world) => {
    const { fields } = op.body as BodyOf<'patchScan'>;
    const scans = view.scans.map((s) =>
      s.id === op.params['scanId'] ? { ...s, ...(fields as Partial<ScanRecord>) } : s,
    );
    return withPatient({ ...view, scans }, view.patient, world);
  },
  // Folded once the server has taken it, never while it waits. When that was only the server can say.
  sendReferral: (view, op) =>
    ofCase(view, op) ? { ...view, referral: { ...view.referral, state: 'sent' as const } } : view,
  patchReport: (view, op) => {
    if (!ofCase(view, op)) return view;
    const { draftId, fields } = op.body as BodyOf<'patchReport'>;
    const before = view.report.draft ?? { ...NO_WORDS, id: draftId, revision: 1, updatedAt: op.saidAt };
    const draft = { ...before, ...(fields as Partial<ReportDraft>) };
    return { ...view, report: { ...view.report, draft } };
  },
  putReportMessage: (view, op, world) => {
    if (!ofCase(view, op)) return view;
    const id = op.params['messageId'] ?? '';
    if (view.report.thread.some((m) => m.id === id)) return view;
    const { text } = op.body as { text: string };
    const said = { id, side: 'sonographer' as const, text, by: world.me.member.name, at: op.saidAt };
    return { ...view, report: { ...view.report, thread: [...view.report.thread, said] } };
  },
  putMeasurement: (view, op, world) => {
    if (!ofCase(view, op)) return view;
    const entry = op.body as MeasurementEntry & { withdrawn?: boolean };
    const made: MeasurementRecord = {
      ...entry,
      withdrawn: entry.withdrawn ?? false,
      ...madeHere(op, world, view, op.params['measurementId'] ?? ''),
    };
    return { ...view, measurements: superseding(view.measurements, made) };
  },
  putObservation: (view, op, world) => {
    if (!ofCase(view, op)) return view;
    const made: ObservationRecord = {
      ...(op.body as ObservationEntry),
      ...madeHere(op, world, view, op.params['observationId'] ?? ''),
    };
    return { ...view, observations: superseding(view.observations, made) };
  },
  patchClip: (view, op) => {
    const body = op.body as BodyOf<'patchClip'>;
    const said = {
      view: body.view,
      viewJudged: body.viewJudged ?? ('received' as const),
      viewWhy: body.viewWhy ?? null,
    };
    return { ...view, clips: view.clips.map((c) => (c.id === op.params['clipId'] ? { ...c, ...said } : c)) };
  },
} satisfies Record<string, Fold>;

function madeHere(op: Written, world: World, view: View, id: string) {
  const side = view.side === 'practice' ? ('sender' as const) : ('reader' as const);
  return { id, side, madeBy: world.me.member.name, madeAt: op.saidAt, supersededById: null };
}

/** Appends a value, once, and marks the one it replaces. */
function superseding<T extends { id: string; supersedesId: string | null; supersededById: string | null }>(
  all: readonly T[],
  made: T,
): T[] {
  if (all.some((m) => m.id === made.id)) return [...all];
  return [...all.map((m) => (m.id === made.supersedesId ? { ...m, supersededById: made.id } : m)), made];
}

function newScan(id: string, patientId: string, scannedOn: string, world: World): ScanRecord {
  const operator = world.me.member.name;
  return { id, patientId, scannedOn, operator, machine: '', state: NOT_ASKED, revision: 1 };
}

/** The patient of a case on the day of its first scan; the weight that stood competes with the new one, or with all known. */
function withPatient(view: View, patient: View['patient'], world: World, weighing?: Written): View {
  const day = view.scans[0]?.scannedOn ?? '';
  const stood = patient.weight ? [patient.weight] : [];
  const known = world.patient(view.referral.practiceId, patient.id)?.weights ?? [];
  const weights = weighing ? [weightOf(weighing), ...stood] : [...stood, ...known];
  return {
    ...view,
    patient: { ...patient, weight: weightOn(weights, day), ageMonths: ageInMonths(patient.birthDate, day) },
  };
}

function weightOf(op: Written): WeightRecord {
  return { ...(op.body as BodyOf<'putWeight'>), id: op.params['weightId'] ?? '' };
}

function withGroup(view: View, world: World): View {
  const agreement =
    world.me.agreements.find(
      (a) => a.practiceId === view.referral.practiceId && a.groupId === view.referral.groupId,
    ) ?? null;
  return { ...view, agreement, referral: { ...view.referral, groupName: agreement?.groupName ?? '' } };
}

/** A case that was opened without a line. */
function newCase(op: Written, world: World): View | null {
  const practiceId = op.params['practiceId'] ?? '';
  const body = op.body as BodyOf<'putReferral'>;
  const known = world.patient(practiceId, body.patientId);
  if (!known) return null;
  const { practiceId: _at, createdAt: _made, weights, ...patient } = known;
  const view: View = {
    side: 'practice',
    referral: {
      id: op.params['referralId'] ?? '',
      practiceId,
      practiceName: world.me.organisations.find((o) => o.id === practiceId)?.name ?? '',
      groupName: '',
      number: NO_NUMBER,
      state: 'draft',
      revision: 1,
      createdAt: op.saidAt,
      sentAt: null,
      dueAt: null,
      urgency: null,
      identity: 'not-compared',
      groupId: body.groupId,
      plan: body.plan,
      question: '',
      history: '',
      urgencyAsked: null,
      urgencyReason: '',
    },
    agreement: null,
    patient: {
      ...patient,
      weight: weightOn(weights, body.scannedOn),
      ageMonths: ageInMonths(patient.birthDate, body.scannedOn),
    },
    scans: [newScan(body.scanId, body.patientId, body.scannedOn, world)],
    ...NOTHING_YET,
  };
  return withGroup(view, world);
}

/** The contract's EMPTY_REPORT, which would bring its schemas into the first page; a test compares them. */
export const NO_WORDS: ReportText = {
  findings: {},
  conclusion: '',
  next: '',
  notToConclude: '',
  rescan: '',
  keyFrames: [],
  recheckOn: null,
  recheckFor: '',
  flagAnswers: [],
};

const NOTHING_YET = {
  arrivals: [],
  arriving: 0,
  firstFrames: [],
  clips: [],
  statements: [],
  measurements: [],
  observations: [],
  interpretation: null,
  engineNews: null,
  flagAnswers: [],
  interims: [],
  wishes: [],
  opinions: [],
  report: { draft: null, signed: [], thread: [] },
  reader: null,
  handedTo: null,
  draft: null,
  secondRead: null,
  secondReadWanted: false,
  thread: [],
  outcome: null,
  marksOff: [],
  events: [],
} satisfies Partial<CaseView>;
