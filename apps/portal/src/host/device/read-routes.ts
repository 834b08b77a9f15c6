import type {
  CaseView,
  FoundPatient,
  KeeperFields,
  Me,
  PatientRecord,
  ReferralRow,
  Round,
  RoundRow,
  RouteName,
} from '@chordae/contract';
import { foldCase } from './fold-case';
import { foldPatients, foldReferrals } from './fold-lists';
import { answersTo, foldPatientPage } from './fold-patient';
import { foldFound, foldRound, foldRounds, foundFrom } from './fold-rounds';
import type { World, Written } from './world';

type Params = Readonly<Record<string, string>>;

export interface ReadSpec {
  /** A reply with one more write on it; `reply` is null where the server was never asked. */
  readonly fold?: (reply: never, op: Written, world: World, params: Params, query: Params) => unknown;
  /** Patients that a reply tells of: found by name again without a line. */
  readonly patients?: (reply: never) => readonly PatientRecord[];
  /** What can be said without a kept reply, from the patients that this device knows. */
  readonly fromPatients?: (known: readonly PatientRecord[], query: Params, me: Me) => unknown;
}

/**
 * The questions whose answers a device keeps. To keep one more: a line here, with a fold where a write of
 * write-routes.ts changes what it answers. Only what a member of the practice reads is kept; never bytes.
 */
export const READS: Partial<Record<RouteName, ReadSpec>> = {
  getCase: {
    fold: (view: CaseView | null, op, world, params) =>
      foldCase(view, op, world, {
        practiceId: params['practiceId'] ?? '',
        referralId: params['referralId'] ?? '',
      }),
  },
  earlierScans: {},
  listReferrals: {
    fold: (rows: readonly ReferralRow[] | null, op, world, params, query) =>
      foldReferrals(rows ?? [], op, world, {
        practiceId: params['practiceId'] ?? '',
        state: query['state'],
      }),
  },
  listPatients: {
    fold: (all: readonly PatientRecord[] | null, op, _world, params, query) =>
      foldPatients(all ?? [], op, { practiceId: params['practiceId'] ?? '', find: query['find'] ?? '' }),
    patients: (all: readonly PatientRecord[]) => all,
    fromPatients: (known, query) => known.filter((p) => answersTo(p, query['find'] ?? '')).slice(0, 100),
  },
  getPatient: {
    fold: (page: (PatientRecord & { keeper: KeeperFields | null }) | null, op, _world, params) =>
      op.params['patientId'] === params['patientId'] ? foldPatientPage(page, op) : page,
    patients: (page: PatientRecord & { keeper: KeeperFields | null }) => {
      const { keeper: _keeper, ...patient } = page;
      return [patient];
    },
  },
  listRounds: {
    fold: (rows: readonly RoundRow[] | null, op) => foldRounds(rows ?? [], op),
  },
  getRound: {
    fold: (round: Round | null, op, world, params) => foldRound(round, op, world, params['roundId'] ?? ''),
  },
  listRequests: {},
  findServed: {
    fold: (found: readonly FoundPatient[] | null, op, world, _params, query) =>
      foldFound(found ?? [], op, world, query['find'] ?? ''),
    fromPatients: (known, query, me) => foundFrom(known, me, query['find'] ?? ''),
  },
  listRechecks: {},
  indexValues: {},
};

/** A reply with all writes on it, in their order. */
export function foldAll(
  route: RouteName,
  reply: unknown,
  ops: readonly Written[],
  world: World,
  of: { params: Params; query: Params },
): unknown {
  const fold = READS[route]?.fold as
    | ((reply: unknown, op: Written, world: World, params: Params, query: Params) => unknown)
    | undefined;
  return fold ? ops.reduce((now, op) => fold(now, op, world, of.params, of.query), reply) : reply;
}
