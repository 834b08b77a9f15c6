import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';

/** Name of a practice that the actor belongs to or has an agreement with; empty for any other. */
export async function practiceName(tx: ActorTx, practiceId: string): Promise<string> {
  const rows = await tx.execute<{ name: string }>(sql`select name from practices where id = ${practiceId}`);
  return rows[0]?.name ?? '';
}

/** Members of a practice that the actor belongs to. */
export async function peopleOfPractice(
  tx: ActorTx,
  practiceId: string,
): Promise<{ memberId: string; name: string; email: string; roles: string[] }[]> {
  const rows = await tx.execute<{ member_id: string; name: string; email: string; roles: string[] }>(
    sql`select member_id, name, email, roles from people_of_practice(${practiceId}) order by name`,
  );
  return rows.map((r) => ({ memberId: r.member_id, name: r.name, email: r.email, roles: r.roles }));
}

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
