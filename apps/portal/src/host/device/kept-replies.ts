import type { CaseView, Me, PatientRecord, RouteName } from '@chordae/contract';
import { pathOf } from '../route-fetch';
import { foldPatient } from './fold-patient';
import type { DeviceStore, KeptReply, Op } from './kept';
import { replyKey } from './kept';
import { foldAll, READS } from './read-routes';
import type { World } from './world';
import type { Homes } from './write-routes';

type Words = Readonly<Record<string, string>>;

export interface Asked {
  readonly route: RouteName;
  readonly params: Words;
  readonly query: Words;
}

/** Writes that make something: shown although refused, since all that rests on them would vanish from the page. */
const MAKING = new Set<RouteName>(['putPatient', 'putReferral', 'putScan']);

/** Is a write shown as if it were done. A value that the server refused is not, and nothing is sent before it has arrived. */
export function isShown(op: Op): boolean {
  if (op.route === 'sendReferral') return false;
  return op.state === 'waiting' || MAKING.has(op.route);
}

/** The server's last answers, and what they look like with the writes that wait on top of them. */
export class KeptReplies {
  private readonly scans = new Map<string, string>();
  private readonly clips = new Map<string, string>();
  private readonly names = new Map<string, string>();
  private readonly parts = new Map<string, readonly string[]>();
  readonly homes: Homes = {
    ofScan: (id) => this.scans.get(id) ?? null,
    ofClip: (id) => this.clips.get(id) ?? null,
    partsOf: (id) => this.parts.get(id) ?? [],
  };

  constructor(private readonly open: () => DeviceStore) {}

  private get store(): DeviceStore {
    return this.open();
  }

  /** Of whom a case or a patient is, by its key; null when it was never seen here. */
  nameOf(key: string): string | null {
    return this.names.get(key) ?? null;
  }

  async keep(me: Me, asked: Asked, reply: unknown, at: string): Promise<void> {
    const memberId = me.member.id;
    const practiceId = asked.params['practiceId'] ?? (asked.route === 'me' ? null : '');
    const path = pathOf(asked.route, asked.params, asked.query);
    const patients = READS[asked.route]?.patients?.(reply as never) ?? [];
    await this.store.putReplies([
      { ...asked, key: replyKey(memberId, path), memberId, practiceId, reply, at },
      ...patients.map((p) => patientReply(memberId, p, at)),
    ]);
  }

  /** The answer to a question from what is kept, with all waiting writes on it; null when nothing can be said. */
  async find(
    me: Me,
    asked: Asked,
    ops: readonly Op[],
  ): Promise<{ reply: unknown; at: string | null } | null> {
    const kept = await this.store.reply(
      replyKey(me.member.id, pathOf(asked.route, asked.params, asked.query)),
    );
    if (kept) return { reply: await this.shown(me, asked, kept.reply, ops), at: kept.at };
    const spec = READS[asked.route];
    if (spec?.fromPatients) {
      const known = await this.knownAt(me, asked.params['practiceId']);
      const from = spec.fromPatients(
        known.map((k) => k.reply as PatientRecord),
        asked.query,
        me,
      );
      const oldest = known.map((k) => k.at).sort()[0] ?? null;
      const reply = await this.shown(me, asked, from, ops);
      return (reply as unknown[]).length > 0 ? { reply, at: oldest } : null;
    }
    const made = await this.shown(me, asked, null, ops);
    const nothing = made === null || (Array.isArray(made) && made.length === 0);
    return nothing ? null : { reply: made, at: null };
  }

  /** A reply with the writes that wait on it. */
  async shown(me: Me, asked: Asked, reply: unknown, ops: readonly Op[]): Promise<unknown> {
    const mine = ops.filter((o) => o.memberId === me.member.id && isShown(o));
    const world = mine.length > 0 ? await this.world(me, mine) : null;
    const next = world ? foldAll(asked.route, reply, mine, world, asked) : reply;
    if (asked.route === 'getCase' && next) this.learn(next as CaseView);
    for (const p of READS[asked.route]?.patients?.((next ?? []) as never) ?? [])
      this.names.set(`patient:${p.id}`, p.name);
    return next;
  }

  private learn(view: CaseView): void {
    const caseId = view.referral.id;
    for (const scan of view.scans) this.scans.set(scan.id, caseId);
    for (const clip of view.clips) this.clips.set(clip.id, caseId);
    this.parts.set(caseId, [`patient:${view.patient.id}`, ...view.scans.map((s) => `scan:${s.id}`)]);
    this.names.set(`case:${caseId}`, view.patient.name);
    this.names.set(`patient:${view.patient.id}`, view.patient.name);
  }

  private patients(me: Me, practiceId: string): Promise<KeptReply[]> {
    return this.store.replies(patientKey(me.member.id, practiceId, ''));
  }

  /** Patients known of one practice, or of all to which the person belongs. */
  private async knownAt(me: Me, practiceId: string | undefined): Promise<KeptReply[]> {
    if (practiceId !== undefined) return this.patients(me, practiceId);
    const own = me.organisations.filter((o) => o.kind === 'practice');
    return (await Promise.all(own.map((o) => this.patients(me, o.id)))).flat();
  }

  private async world(me: Me, ops: readonly Op[]): Promise<World> {
    const known = new Map<string, PatientRecord>();
    for (const practiceId of new Set(ops.map((o) => o.practiceId)))
      for (const kept of await this.patients(me, practiceId)) {
        const patient = kept.reply as PatientRecord;
        known.set(`${practiceId}|${patient.id}`, patient);
      }
    for (const op of ops) {
      const key = `${op.practiceId}|${op.params['patientId'] ?? ''}`;
      const next = foldPatient(known.get(key) ?? null, op);
      if (next) known.set(key, next);
    }
    return { me, patient: (practiceId, patientId) => known.get(`${practiceId}|${patientId}`) ?? null };
  }

  /** The server has a write now: what is kept shows it from here on, until the next answer comes. */
  async taken(me: Me, op: Op, reply: unknown): Promise<void> {
    const memberId = me.member.id;
    const world = await this.world(me, [op]);
    const kept = await this.store.replies(`${memberId}|/api/`);
    const changed: KeptReply[] = [];
    for (const one of kept) {
      const next = foldAll(one.route, one.reply, [op], world, one);
      if (next !== one.reply) changed.push({ ...one, reply: next });
    }
    const patient = world.patient(op.practiceId, op.params['patientId'] ?? '');
    const now = op.route === 'putPatient' ? (reply as PatientRecord) : patient;
    if (now) changed.push(patientReply(memberId, now, op.saidAt));
    const made = await this.madeBy(me, op, reply, world);
    if (made && !kept.some((k) => k.key === made.key)) changed.push(made);
    if (changed.length > 0) await this.store.putReplies(changed);
  }

  /** A case that was opened here, as the first kept answer about it. */
  private async madeBy(me: Me, op: Op, reply: unknown, world: World): Promise<KeptReply | null> {
    if (op.route !== 'putReferral') return null;
    const params = { practiceId: op.practiceId, referralId: op.params['referralId'] ?? '' };
    const asked: Asked = { route: 'getCase', params, query: {} };
    const view = foldAll('getCase', null, [op], world, asked) as CaseView | null;
    if (!view) return null;
    const { number, revision } = reply as { number: number; revision: number };
    return {
      ...asked,
      key: replyKey(me.member.id, pathOf('getCase', params)),
      memberId: me.member.id,
      practiceId: op.practiceId,
      reply: { ...view, referral: { ...view.referral, number, revision } },
      at: op.saidAt,
    };
  }
}

function patientKey(memberId: string, practiceId: string, patientId: string): string {
  return `${memberId}|patient:${practiceId}:${patientId}`;
}

function patientReply(memberId: string, patient: PatientRecord, at: string): KeptReply {
  return {
    key: patientKey(memberId, patient.practiceId, patient.id),
    memberId,
    practiceId: patient.practiceId,
    route: 'getPatient',
    params: { practiceId: patient.practiceId, patientId: patient.id },
    query: {},
    reply: patient,
    at,
  };
}
