import { randomBytes } from 'node:crypto';
import type { Agreement, Me, Organisation, Role } from '@chordae/contract';
import { hash, verify } from '@node-rs/argon2';
import { sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import { type Actor, type ActorTx, hashToken } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { agreements, practices, readingGroups } from './accounts.tables';
import { paperHeadOf } from './paper-head';

/** argon2id with OWASP's first choice of parameters (19 MiB, 2 passes, 1 lane). */
const ARGON = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

export function hashPassword(password: string): Promise<string> {
  return hash(password, ARGON);
}

/** A hash of nothing in particular: verifying against it takes as long as against a real one. */
let decoy: Promise<string> | null = null;

/** Opens a session; the token goes to the browser once, only its hash is stored. */
export async function signIn(
  services: Services,
  email: string,
  password: string,
): Promise<{ token: string; until: Date; me: Me }> {
  const found = (
    await services.db.gate<
      { member_id: string; password_hash: string }[]
    >`select * from find_sign_in(${email.trim()})`
  )[0];
  decoy ??= hashPassword(randomBytes(12).toString('hex'));
  const right = await verify(found?.password_hash ?? (await decoy), password).catch(() => false);
  if (!found || !right) throw new AppError('SIGN_IN_FAILED');
  const token = randomBytes(32).toString('base64url');
  const until = new Date(services.clock.now().getTime() + services.config.CHORDAE_SESSION_HOURS * 3_600_000);
  await services.db.gate`select open_session(${hashToken(token)}, ${found.member_id}, ${until})`;
  const me = await services.db.withSession(hashToken(token), describeMe);
  if (!me) throw new AppError('SIGN_IN_FAILED');
  return { token, until, me };
}

/** Signing asks for the password again: a desk left open must not sign. */
export async function confirmPassword(tx: ActorTx, actor: Actor, password: string): Promise<void> {
  const rows = await tx.execute<{ hash: string | null }>(sql`select password_of(${actor.memberId}) as hash`);
  const stored = rows[0]?.hash;
  const right = stored ? await verify(stored, password).catch(() => false) : false;
  if (!right) throw new AppError('PASSWORD_WRONG', {}, { field: 'password' });
}

export async function describeMe(tx: ActorTx, actor: Actor): Promise<Me> {
  const ids = (pick: 'practiceId' | 'groupId') =>
    new Set(actor.memberships.map((m) => m[pick]).filter((x) => x !== null));
  const mine = { practice: ids('practiceId'), group: ids('groupId') };
  const rolesOf = (id: string): Role[] =>
    actor.memberships.filter((m) => m.practiceId === id || m.groupId === id).map((m) => m.role);
  const allPractices = await tx.select().from(practices);
  const allGroups = await tx.select().from(readingGroups);
  const describe = (
    kind: 'practice' | 'group',
    o: (typeof allPractices)[number] | (typeof allGroups)[number],
  ): Organisation => ({
    id: o.id,
    kind,
    name: o.name,
    zone: o.zone,
    phone: o.phone,
    demo: o.demo,
    paper: paperHeadOf(o.letterhead, o.phone),
    roles: rolesOf(o.id),
  });
  const organisations = [
    ...allPractices.filter((p) => mine.practice.has(p.id)).map((p) => describe('practice', p)),
    ...allGroups.filter((g) => mine.group.has(g.id)).map((g) => describe('group', g)),
  ].sort((a, b) => a.name.localeCompare(b.name, 'en'));
  return {
    member: { id: actor.memberId ?? '', name: actor.name, email: actor.email },
    organisations,
    agreements: await listAgreements(tx),
  };
}

/** Agreements that the actor's organisations hold, with names and telephones of both sides. */
export async function listAgreements(tx: ActorTx): Promise<Agreement[]> {
  const rows = await tx.select().from(agreements);
  const practiceById = new Map((await tx.select().from(practices)).map((p) => [p.id, p]));
  const groupById = new Map((await tx.select().from(readingGroups)).map((g) => [g.id, g]));
  return rows
    .filter((r) => r.endedAt === null)
    .map((r) => ({
      id: r.id,
      practiceId: r.practiceId,
      groupId: r.groupId,
      practiceName: practiceById.get(r.practiceId)?.name ?? '',
      practicePhone: practiceById.get(r.practiceId)?.phone ?? '',
      groupName: groupById.get(r.groupId)?.name ?? '',
      groupPhone: groupById.get(r.groupId)?.phone ?? '',
      emergencyContact: r.emergencyContact,
      zone: r.zone,
      openingHours: r.openingHours,
      targetMinutes: r.targetMinutes,
    }));
}

export async function findAgreement(tx: ActorTx, practiceId: string, groupId: string): Promise<Agreement> {
  const found = (await listAgreements(tx)).find((a) => a.practiceId === practiceId && a.groupId === groupId);
  if (!found) throw new AppError('AGREEMENT_MISSING', {}, { field: 'groupId' });
  return found;
}
