import type { GroupReader } from '@chordae/contract';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { peopleOfGroup } from '../accounts';

/** Who reads in a group and what each has on the table. */
export async function readersOf(tx: ActorTx, services: Services, groupId: string): Promise<GroupReader[]> {
  const people = await peopleOfGroup(tx, groupId);
  const since = new Date(services.clock.now().getTime() - 7 * 24 * 3_600_000).toISOString();
  const load = await tx.execute<{
    member_id: string;
    reading: number;
    urgent: number;
    handed: number;
  }>(sql`
    select coalesce(reader_id, handed_to) as member_id,
           count(*) filter (where reader_id is not null)::int as reading,
           count(*) filter (where reader_id is not null and urgency in ('emergency', 'urgent'))::int as urgent,
           count(*) filter (where reader_id is null)::int as handed
      from referrals where group_id = ${groupId} and state in ('sent', 'reading', 'images-wanted')
       and coalesce(reader_id, handed_to) is not null group by 1`);
  const answered = await tx.execute<{ signer_id: string; n: number }>(sql`
    select signer_id, count(*)::int as n from signed_opinions
     where group_id = ${groupId} and kind = 'opinion' and signed_at >= ${since}::timestamptz group by 1`);
  return people.map((person) => {
    const own = load.find((l) => l.member_id === person.memberId);
    return {
      memberId: person.memberId,
      name: person.name,
      roles: person.roles.filter((r): r is 'cardiologist' | 'lead' => r === 'cardiologist' || r === 'lead'),
      reading: own?.reading ?? 0,
      readingUrgent: own?.urgent ?? 0,
      handedOver: own?.handed ?? 0,
      answered7d: answered.find((a) => a.signer_id === person.memberId)?.n ?? 0,
    };
  });
}
