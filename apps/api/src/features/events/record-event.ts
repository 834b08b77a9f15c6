import { createHash, randomBytes } from 'node:crypto';
import { canonicalText } from '@chordae/report';
import { sql } from 'drizzle-orm';
import type { Actor, ActorTx } from '../../platform/db/database';
import { uuidv7 } from '../../platform/uuid';

export interface NewEvent {
  readonly practiceId: string;
  /** The reading group once the referral was sent: null keeps the event with the practice. */
  readonly groupId: string | null;
  readonly referralId: string | null;
  readonly kind: string;
  /** Never the keeper, never a file name: the group reads this too. */
  readonly data?: Record<string, unknown>;
}

/** Appends an event. Its payload lies apart, tied by a salted hash, so that erasing the payload leaves the chain whole. */
export async function recordEvent(tx: ActorTx, actor: Actor, event: NewEvent): Promise<void> {
  const id = uuidv7();
  const salt = randomBytes(16);
  const data = event.data ?? {};
  const hash = payloadHash(salt, data);
  const hex = (b: Buffer) => sql`decode(${b.toString('hex')}, 'hex')`;
  await tx.execute(sql`
    insert into events (practice_id, id, group_id, referral_id, kind, actor_kind, actor_id, actor_name, payload_hash)
    values (${event.practiceId}, ${id}, ${event.groupId}, ${event.referralId}, ${event.kind}, ${actor.kind}, ${actor.memberId}, ${actor.name}, ${hex(hash)})`);
  await tx.execute(sql`
    insert into event_payloads (practice_id, event_id, group_id, salt, data)
    values (${event.practiceId}, ${id}, ${event.groupId}, ${hex(salt)}, ${JSON.stringify(data)}::text::jsonb)`);
}

/** SHA-256 over salt and canonical JSON (keys sorted), which is what a seal rests on. */
export function payloadHash(salt: Buffer, data: unknown): Buffer {
  return createHash('sha256').update(salt).update(canonicalText(data)).digest();
}
