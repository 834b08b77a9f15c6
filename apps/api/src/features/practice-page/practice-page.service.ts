import {
  type PracticePage,
  type PracticeParticulars,
  practiceParticulars,
  practiceRole,
} from '@chordae/contract';
import { NO_MANAGER_LEFT, ZONE_UNKNOWN } from '@chordae/words';
import { eq, sql } from 'drizzle-orm';
import { AppError } from '../../platform/app-error';
import type { Actor, ActorTx } from '../../platform/db/database';
import { listAgreements, peopleOfPractice, practices } from '../accounts';
import { recordEvent } from '../events';

export async function practicePage(tx: ActorTx, practiceId: string): Promise<PracticePage> {
  const { demo, particulars } = await loadPractice(tx, practiceId);
  const people = await peopleOfPractice(tx, practiceId);
  return {
    id: practiceId,
    demo,
    particulars,
    people: people.map((p) => ({
      ...p,
      roles: p.roles.flatMap((r) => practiceRole.safeParse(r).data ?? []),
    })),
    agreements: (await listAgreements(tx)).filter((a) => a.practiceId === practiceId),
  };
}

/** Writes what the manager wants, provided that what they saw still stands. */
export async function setParticulars(
  tx: ActorTx,
  actor: Actor,
  practiceId: string,
  ask: { readonly seen: PracticeParticulars; readonly wanted: PracticeParticulars },
): Promise<void> {
  const { particulars } = await loadPractice(tx, practiceId, true);
  const changed = (Object.keys(ask.wanted) as (keyof PracticeParticulars)[]).filter(
    (field) => !same(ask.wanted[field], ask.seen[field]),
  );
  if (changed.some((field) => !same(ask.seen[field], particulars[field])))
    throw new AppError('REVISION_STALE');
  if (changed.length === 0) return;
  if (changed.includes('zone') && !isZone(ask.wanted.zone))
    throw new AppError('FIELD_INVALID', {}, { field: 'zone', message: ZONE_UNKNOWN });
  // Only what was changed here: what somebody else wrote in another field meanwhile stays.
  const changes = Object.fromEntries(changed.map((field) => [field, ask.wanted[field]]));
  const { name, phone, zone, letterhead } = { ...particulars, ...changes } as PracticeParticulars;
  await tx
    .update(practices)
    .set({ name, phone, zone, letterhead: { schema: 1, ...letterhead } })
    .where(eq(practices.id, practiceId));
  await recordEvent(tx, actor, {
    practiceId,
    groupId: null,
    referralId: null,
    kind: 'practice.edited',
    data: { fields: changed },
  });
}

/** From the person's next request on, nothing of this practice opens for them. The last manager cannot be taken away. */
export async function endMembership(
  tx: ActorTx,
  actor: Actor,
  at: { readonly practiceId: string; readonly memberId: string },
): Promise<number> {
  // One after the other: two managers must not end each other at the same moment.
  await loadPractice(tx, at.practiceId, true);
  const people = await peopleOfPractice(tx, at.practiceId);
  const person = people.find((p) => p.memberId === at.memberId);
  if (!person) throw new AppError('NOT_FOUND');
  const managers = people.filter((p) => p.roles.includes('manager'));
  if (managers.length === 1 && managers[0]?.memberId === at.memberId)
    throw new AppError('STATE_CHANGED', {}, { field: 'memberId', message: NO_MANAGER_LEFT });
  await recordEvent(tx, actor, {
    practiceId: at.practiceId,
    groupId: null,
    referralId: null,
    kind: 'membership.ended',
    data: { memberId: at.memberId, name: person.name, roles: person.roles },
  });
  const rows = await tx.execute<{ n: number }>(
    sql`select end_membership(${at.practiceId}, ${at.memberId}) as n`,
  );
  return rows[0]?.n ?? 0;
}

async function loadPractice(
  tx: ActorTx,
  practiceId: string,
  lock = false,
): Promise<{ demo: boolean; particulars: PracticeParticulars }> {
  const reading = tx.select().from(practices).where(eq(practices.id, practiceId));
  const row = (await (lock ? reading.for('update') : reading))[0];
  if (!row) throw new AppError('NOT_FOUND');
  const head = practiceParticulars.shape.letterhead.safeParse({
    lines: [],
    footer: '',
    ...(row.letterhead as object),
  });
  return {
    demo: row.demo,
    particulars: {
      // As they come back from a page: without blanks at the ends, else nothing seen would ever stand.
      name: row.name.trim(),
      phone: row.phone.trim(),
      zone: row.zone,
      letterhead: head.data ?? { lines: [], footer: '' },
    },
  };
}

function isZone(zone: string): boolean {
  try {
    return (
      new Intl.DateTimeFormat('en', { timeZone: zone }).resolvedOptions().timeZone !== '' &&
      zone.includes('/')
    );
  } catch {
    return false;
  }
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);
