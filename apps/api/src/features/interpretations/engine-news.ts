import { type EngineNews, isTaking, upgradeInterpretation } from '@chordae/contract';
import { differences, ENGINE_VERSION, interpret, limitsHash } from '@chordae/interpretation';
import { and, desc, eq, ne, or } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import type { ReferralRowDb } from '../cases';
import { interpretations } from './interpretations.tables';

/**
 * What newer rules say differently about an open referral: the last answer of an older engine against this engine's on the
 * very same input, so that only the rules differ. null when the rules are the same, or say the same.
 */
export async function engineNewsOf(tx: ActorTx, referral: ReferralRowDb): Promise<EngineNews | null> {
  if (!isTaking(referral.state)) return null;
  const rows = await tx
    .select()
    .from(interpretations)
    .where(
      and(
        eq(interpretations.practiceId, referral.practiceId),
        eq(interpretations.referralId, referral.id),
        or(ne(interpretations.engineVersion, ENGINE_VERSION), ne(interpretations.limitsHash, limitsHash)),
      ),
    )
    .orderBy(desc(interpretations.position))
    .limit(1);
  const old = rows[0];
  if (!old) return null;
  const found = differences(upgradeInterpretation(old.result), interpret(old.input));
  return found.length === 0
    ? null
    : { fromVersion: old.engineVersion, toVersion: ENGINE_VERSION, differences: found };
}
