import { takingStates } from '@chordae/contract';
import { ENGINE_VERSION, limitsHash } from '@chordae/interpretation';
import { sql } from 'drizzle-orm';
import { enqueue } from '../../platform/jobs/enqueue';
import type { Services } from '../../platform/services';

/**
 * When a worker starts with newer rules than those that open referrals were computed on, each gets a job that computes it
 * again. Signed opinions keep what they were signed on. Answers how many were found.
 */
export async function renewOpenReferrals(services: Services): Promise<number> {
  const practices = await services.db.gate<{ id: string }[]>`select * from all_practices() as id`;
  let found = 0;
  for (const { id: practiceId } of practices) {
    found += await services.db.withJob(practiceId, 'interpretation', async (tx) => {
      const states = sql.join(
        takingStates.map((s) => sql`${s}`),
        sql`, `,
      );
      const stale = await tx.execute<{ id: string }>(sql`
        select r.id from referrals r
          join lateral (select engine_version, limits_hash from interpretations i
                         where i.practice_id = r.practice_id and i.referral_id = r.id
                         order by position desc limit 1) newest on true
         where r.practice_id = ${practiceId} and r.state in (${states})
           and (newest.engine_version <> ${ENGINE_VERSION} or newest.limits_hash <> ${limitsHash})`);
      for (const { id } of stale)
        await enqueue(tx, 'case.interpret', { practiceId, referralId: id }, `interpret:${practiceId}:${id}`);
      return stale.length;
    });
  }
  return found;
}
