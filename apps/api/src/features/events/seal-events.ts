import { createHash } from 'node:crypto';
import { sql } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { payloadHash } from './record-event';

const sha = (...parts: Buffer[]) => createHash('sha256').update(Buffer.concat(parts)).digest();

/** Root of a Merkle tree over leaf hashes; an odd node is paired with itself. One leaf is its own root. */
export function merkleRoot(leaves: readonly Buffer[]): Buffer {
  if (leaves.length === 0) return Buffer.alloc(32);
  let level = [...leaves];
  while (level.length > 1) {
    const next: Buffer[] = [];
    for (let i = 0; i < level.length; i += 2)
      next.push(sha(level[i] as Buffer, level[i + 1] ?? (level[i] as Buffer)));
    level = next;
  }
  return level[0] as Buffer;
}

type EventRow = { id: string; xid: string; kind: string; at: Date | string; payload_hash: Buffer };

function leafOf(row: EventRow): Buffer {
  return sha(Buffer.from(`${row.id}|${row.kind}|${new Date(row.at).toISOString()}|`), row.payload_hash);
}

/** Seals each practice's events that no open transaction can still add to. One sealer at a time; no request waits for it. */
export async function sealEvents(services: Services): Promise<number> {
  const practices = await services.db.gate<{ practices_to_seal: string }[]>`select practices_to_seal()`;
  let sealed = 0;
  for (const { practices_to_seal: practiceId } of practices) {
    sealed += await services.db.withJob(practiceId, 'sealer', (tx) => sealPractice(tx, practiceId));
  }
  return sealed;
}

async function sealPractice(tx: ActorTx, practiceId: string): Promise<number> {
  const lock = await tx.execute<{ ok: boolean }>(
    sql`select pg_try_advisory_xact_lock(702_010, hashtext(${practiceId})) as ok`,
  );
  if (!lock[0]?.ok) return 0;
  const last = (
    await tx.execute<{ upto_xid: string; hash: Buffer }>(
      sql`select upto_xid::text, hash from seals where practice_id = ${practiceId} order by id desc limit 1`,
    )
  )[0];
  const rows = await tx.execute<EventRow>(sql`
    select id, xid::text as xid, kind, at, payload_hash from events e
     where e.practice_id = ${practiceId} and e.xid > ${last?.upto_xid ?? '0'}::xid8 and e.xid < pg_snapshot_xmin(pg_current_snapshot())
     -- The column itself, not its text: as text, 1000 comes before 999.
     order by e.xid, e.seq`);
  const newest = rows.at(-1);
  if (!newest) return 0;
  const root = merkleRoot(rows.map(leafOf));
  const previous = last?.hash ?? Buffer.alloc(32);
  const hex = (b: Buffer) => sql`decode(${b.toString('hex')}, 'hex')`;
  await tx.execute(sql`
    insert into seals (practice_id, upto_xid, event_count, merkle_root, previous_hash, hash)
    values (${practiceId}, ${newest.xid}::xid8, ${rows.length}, ${hex(root)}, ${hex(previous)}, ${hex(sha(previous, root))})`);
  return rows.length;
}

export interface SealReport {
  readonly seals: number;
  readonly events: number;
  readonly unsealed: number;
  /** Sentences about what does not fit; empty when the chain holds. */
  readonly broken: string[];
}

/** Recomputes one practice's chain from its events and payloads. */
export async function verifySeals(tx: ActorTx, practiceId: string): Promise<SealReport> {
  const seals = await tx.execute<{
    id: string;
    upto_xid: string;
    event_count: number;
    merkle_root: Buffer;
    previous_hash: Buffer;
    hash: Buffer;
  }>(
    sql`select id, upto_xid::text, event_count, merkle_root, previous_hash, hash from seals where practice_id = ${practiceId} order by id`,
  );
  const rows = await tx.execute<
    EventRow & { salt: Buffer | null; data: unknown; erased_at: Date | null }
  >(sql`
    select e.id, e.xid::text, e.kind, e.at, e.payload_hash, p.salt, p.data, p.erased_at from events e
      left join event_payloads p on p.practice_id = e.practice_id and p.event_id = e.id
     where e.practice_id = ${practiceId} order by e.xid, e.seq`);
  const broken: string[] = [];
  for (const row of rows) {
    if (row.salt === null) broken.push(`event ${row.id} has lost its payload row`);
    else if (row.erased_at === null && !payloadHash(row.salt, row.data).equals(row.payload_hash))
      broken.push(`event ${row.id} does not match its payload`);
  }
  let previous = Buffer.alloc(32);
  let from = 0;
  for (const seal of seals) {
    const part = rows.slice(from, from + seal.event_count);
    from += seal.event_count;
    const root = merkleRoot(part.map(leafOf));
    if (part.length !== seal.event_count)
      broken.push(`seal ${seal.id} covers ${seal.event_count} events, ${part.length} are there`);
    else if (!root.equals(seal.merkle_root)) broken.push(`seal ${seal.id} does not match its events`);
    if (!seal.previous_hash.equals(previous))
      broken.push(`seal ${seal.id} does not follow the one before it`);
    if (!sha(seal.previous_hash, seal.merkle_root).equals(seal.hash))
      broken.push(`seal ${seal.id} does not match its own hash`);
    previous = Buffer.from(seal.hash);
  }
  return { seals: seals.length, events: rows.length, unsealed: rows.length - from, broken };
}
