import type { AccountPart, AccountPrices, MonthAccount } from '@chordae/contract';
import { and, eq, inArray } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { groupedBy } from '../../platform/grouped-by';
import { peopleOfPractice, practices } from '../accounts';
import { accountLines, type CountedThing } from './account-lines';
import { accountPricesTable } from './month-account.tables';

type Member = Actor & { readonly memberId: string };

/** One's own month at each practice where one may scan; a practice without a line is there with nothing counted. */
export async function ownAccount(tx: ActorTx, actor: Member, month: string): Promise<MonthAccount> {
  const mine = new Set(
    actor.memberships.flatMap((m) => (m.practiceId && m.role !== 'manager' ? [m.practiceId] : [])),
  );
  return accountOf(tx, [...mine], month, actor.memberId, actor.name);
}

/** A practice's month by person. */
export function practiceAccount(tx: ActorTx, practiceId: string, month: string): Promise<MonthAccount> {
  return accountOf(tx, [practiceId], month, null, '');
}

async function accountOf(
  tx: ActorTx,
  practiceIds: readonly string[],
  month: string,
  memberId: string | null,
  ownName: string,
): Promise<MonthAccount> {
  if (practiceIds.length === 0) return { month, demo: false, parts: [] };
  const places = await tx
    .select()
    .from(practices)
    .where(inArray(practices.id, [...practiceIds]));
  const lines = groupedBy(await accountLines(tx, practiceIds, month, memberId), (l) => l.practiceId);
  const parts: AccountPart[] = [];
  for (const place of places.sort((a, b) => a.name.localeCompare(b.name, 'en'))) {
    const names = new Map((await peopleOfPractice(tx, place.id)).map((p) => [p.memberId, p.name]));
    const byPerson = groupedBy(lines.get(place.id) ?? [], (l) => l.memberId);
    if (memberId !== null && byPerson.size === 0) byPerson.set(memberId, []);
    for (const [person, own] of byPerson) {
      // Who has left is still named as on the last thing written.
      const name = names.get(person) ?? (own.at(-1)?.writtenName || ownName || 'no longer here');
      const prices = await pricesOf(tx, place.id, person);
      parts.push(partOf(place, { id: person, name }, own, prices));
    }
  }
  return { month, demo: places.some((p) => p.demo), parts };
}

/** Counts and amounts of one person's lines. Only what is counted has an amount. */
export function partOf(
  place: { readonly id: string; readonly name: string; readonly zone: string },
  person: { readonly id: string; readonly name: string },
  things: readonly CountedThing[],
  prices: AccountPrices | null,
): AccountPart {
  const counts = { scan: 0, rescan: 0, report: 0, referral: 0 };
  let totalHundredths = 0;
  const lines = things.map(({ writtenName: _written, ...line }) => {
    const amountHundredths = line.counted ? (prices?.hundredths[line.kind] ?? null) : null;
    if (line.counted) counts[line.kind] += 1;
    totalHundredths += amountHundredths ?? 0;
    return { ...line, memberName: person.name, amountHundredths };
  });
  return {
    practiceId: place.id,
    practiceName: place.name,
    zone: place.zone,
    memberId: person.id,
    memberName: person.name,
    counts,
    prices,
    totalHundredths: prices ? totalHundredths : null,
    lines,
  };
}

export async function pricesOf(
  tx: ActorTx,
  practiceId: string,
  memberId: string,
): Promise<AccountPrices | null> {
  const rows = await tx
    .select({ prices: accountPricesTable.prices })
    .from(accountPricesTable)
    .where(and(eq(accountPricesTable.practiceId, practiceId), eq(accountPricesTable.memberId, memberId)));
  return rows[0]?.prices.prices ?? null;
}

export async function setPrices(
  tx: ActorTx,
  actor: Member,
  practiceId: string,
  prices: AccountPrices | null,
  now: Date,
): Promise<void> {
  // A list without a single price is none: no columns of money then.
  const kept = prices && Object.keys(prices.hundredths).length > 0 ? prices : null;
  const row = { prices: { schema: 1 as const, prices: kept }, updatedByName: actor.name, updatedAt: now };
  await tx
    .insert(accountPricesTable)
    .values({ practiceId, memberId: actor.memberId, ...row })
    .onConflictDoUpdate({ target: [accountPricesTable.practiceId, accountPricesTable.memberId], set: row });
}
