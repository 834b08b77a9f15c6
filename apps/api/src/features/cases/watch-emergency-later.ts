import type { ActorTx } from '../../platform/db/database';
import { enqueue } from '../../platform/jobs/enqueue';

/** Minutes after which an emergency that nobody has taken passes on (common practice; a lead's rota may be shorter). */
export const EMERGENCY_WAITS_MINUTES = 10;

/** Looks after a while whether somebody has taken an emergency. */
export async function watchEmergencyLater(
  tx: ActorTx,
  where: { practiceId: string; referralId: string },
): Promise<void> {
  await enqueue(
    tx,
    'emergency.watch',
    { ...where, round: 1 },
    `emergency:${where.referralId}:1`,
    EMERGENCY_WAITS_MINUTES * 60_000,
  );
}
