import type {
  FoundPatient,
  Me,
  PatientRecord,
  Round,
  RoundRow,
  RoundText,
  Visit,
  VisitCase,
  VisitEntry,
} from '@chordae/contract';
import type { BodyOf } from '../route-fetch';
import { answersTo, foldPatient } from './fold-patient';
import { NO_NUMBER, type World, type Written } from './world';

/** One's rounds with one more write on them. */
export function foldRounds(rows: readonly RoundRow[], op: Written): readonly RoundRow[] {
  const id = op.params['roundId'];
  if (op.route === 'putRound') {
    if (rows.some((r) => r.id === id)) return rows;
    const { day, title } = op.body as BodyOf<'putRound'>;
    const made = { id: id ?? '', day, title, closedAt: null, visits: 0, done: 0, practices: [] };
    return [made, ...rows].sort((a, b) => b.day.localeCompare(a.day));
  }
  if (op.route === 'patchRound') {
    const { title } = (op.body as { fields: Partial<RoundText> }).fields;
    return title === undefined ? rows : rows.map((r) => (r.id === id ? { ...r, title } : r));
  }
  if (op.route === 'closeRound') {
    const closedAt = (op.body as BodyOf<'closeRound'>).open ? null : op.saidAt;
    return rows.map((r) => (r.id === id ? { ...r, closedAt } : r));
  }
  if (op.route !== 'putVisit') return rows;
  const { roundId } = op.body as BodyOf<'putVisit'>;
  return rows.map((r) => (r.id === roundId ? { ...r, visits: r.visits + 1 } : r));
}

/** One round with one more write on it: its visits, and what has been done about each on this device. */
export function foldRound(round: Round | null, op: Written, world: World, roundId: string): Round | null {
  if (round === null)
    return op.route === 'putRound' && op.params['roundId'] === roundId ? newRound(op) : null;
  if (op.route === 'patchRound' && op.params['roundId'] === round.id)
    return { ...round, ...(op.body as { fields: Partial<RoundText> }).fields };
  if (op.route === 'closeRound' && op.params['roundId'] === round.id)
    return { ...round, closedAt: (op.body as BodyOf<'closeRound'>).open ? null : op.saidAt };
  if (op.route === 'putVisit') return withVisit(round, op, world);
  if (op.route === 'patchVisit') return withPatched(round, op, world);
  return withCases(round, op);
}

function newRound(op: Written): Round {
  const { day, title } = op.body as BodyOf<'putRound'>;
  const id = op.params['roundId'] ?? '';
  return { id, day, title, note: '', practiceOrder: [], closedAt: null, revision: 1, visits: [] };
}

/** A visit as it was put on a round. */
export function visitOf(op: Written): Visit {
  const body = op.body as BodyOf<'putVisit'>;
  return {
    ...body,
    notScanned: body.notScanned ?? null,
    id: op.params['visitId'] ?? '',
    practiceId: op.params['practiceId'] ?? '',
    patientName: null,
    case: null,
    revision: 1,
  };
}

function withVisit(round: Round, op: Written, world: World): Round {
  const made = named(visitOf(op), world);
  if (made.roundId !== round.id || round.visits.some((v) => v.id === made.id)) return round;
  return { ...round, visits: inPlace([...round.visits, made]) };
}

function withPatched(round: Round, op: Written, world: World): Round {
  const id = op.params['visitId'];
  if (!round.visits.some((v) => v.id === id)) return round;
  const fields = (op.body as { fields: Partial<VisitEntry> }).fields;
  const visits = round.visits.map((v) => {
    if (v.id !== id) return v;
    const next = named({ ...v, ...fields }, world);
    return next.referralId !== null && next.case === null ? { ...next, case: OPENED } : next;
  });
  return { ...round, visits: inPlace(visits.filter((v) => v.roundId === round.id)) };
}

function named(visit: Visit, world: World): Visit {
  const patient = visit.patientId ? world.patient(visit.practiceId, visit.patientId) : null;
  return { ...visit, patientName: patient?.name ?? visit.patientName };
}

function inPlace(visits: readonly Visit[]): Visit[] {
  return [...visits].sort((a, b) => a.position - b.position || a.id.localeCompare(b.id));
}

/** A case just opened on this device. */
const OPENED: VisitCase = {
  number: NO_NUMBER,
  state: 'draft',
  clipCount: 0,
  arriving: 0,
  measurementCount: 0,
  hasReportDraft: false,
  reportSigned: false,
  groupName: '',
  actNow: [],
};

/** What is done in a case shows on its visit. */
function withCases(round: Round, op: Written): Round {
  const change = CHANGES[op.route as keyof typeof CHANGES];
  const referralId = op.params['referralId'];
  if (!change || !referralId || !round.visits.some((v) => v.referralId === referralId && v.case))
    return round;
  const visits = round.visits.map((v) =>
    v.referralId === referralId && v.case ? { ...v, case: change(v.case, op) } : v,
  );
  return { ...round, visits };
}

const CHANGES = {
  putMeasurement: (c, op) => {
    const { supersedesId } = op.body as BodyOf<'putMeasurement'>;
    return supersedesId ? c : { ...c, measurementCount: c.measurementCount + 1 };
  },
  patchReport: (c) => ({ ...c, hasReportDraft: true }),
  sendReferral: (c) => ({ ...c, state: 'sent' as const }),
} satisfies Record<string, (c: VisitCase, op: Written) => VisitCase>;

/** Patients known on this device, across the practices that one serves. */
export function foundFrom(known: readonly PatientRecord[], me: Me, find: string): FoundPatient[] {
  const served = new Map(
    me.organisations
      .filter((o) => o.kind === 'practice' && o.roles.some((r) => r !== 'manager'))
      .map((o) => [o.id, o.name]),
  );
  if (find.trim() === '') return [];
  return known.flatMap((p) => {
    const practiceName = served.get(p.practiceId);
    if (practiceName === undefined || !answersTo(p, find)) return [];
    return [toFound(p, practiceName)];
  });
}

/** The same with a patient that was made here and is not on the server yet. */
export function foldFound(
  found: readonly FoundPatient[],
  op: Written,
  world: World,
  find: string,
): readonly FoundPatient[] {
  if (op.route !== 'putPatient' || find.trim() === '') return found;
  const made = foldPatient(null, op);
  if (!made || !answersTo(made, find) || found.some((p) => p.patientId === made.id)) return found;
  const practiceName = world.me.organisations.find((o) => o.id === made.practiceId)?.name ?? '';
  return [toFound(made, practiceName), ...found];
}

function toFound(p: PatientRecord, practiceName: string): FoundPatient {
  const weight = p.weights[0];
  return {
    practiceId: p.practiceId,
    practiceName,
    patientId: p.id,
    number: p.number,
    name: p.name,
    species: p.species,
    breedText: p.breedText,
    sex: p.sex,
    chip: p.chip,
    birthDate: p.birthDate,
    weightKg: weight?.weightKg ?? null,
    weighedOn: weight?.weighedOn ?? null,
    lastScannedOn: null,
  };
}
