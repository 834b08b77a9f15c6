import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

/** Members of a group that the actor belongs to. */
export async function peopleOfGroup(
  tx: ActorTx,
  groupId: string,
): Promise<{ memberId: string; name: string; roles: string[] }[]> {
  const rows = await tx.execute<{ member_id: string; name: string; roles: string[] }>(
    sql`select member_id, name, roles from people_of_group(${groupId}) order by name`,
  );
  return rows.map((r) => ({ memberId: r.member_id, name: r.name, roles: r.roles }));
}
