import { createHash } from 'node:crypto';
import { eq } from 'drizzle-orm';
import { originals } from './features/arrivals';
import { packs } from './features/clips';
import { verifySeals } from './features/events';
import type { Config } from './platform/config/config';
import { makeServices } from './platform/make-services';
import type { Services } from './platform/services';

/** Checks what must never change: event chains against their seals, stored bytes against their hashes. */
export async function verifyAll(config: Config, databaseUrl: string) {
  const services = makeServices(config, databaseUrl, 'chordae_worker', 'verify');
  try {
    const practices = await services.db.gate<{ id: string }[]>`select * from all_practices() as id`;
    const broken: string[] = [];
    let events = 0;
    let files = 0;
    for (const { id } of practices) {
      const report = await services.db.withJob(id, 'verify', (tx) => verifySeals(tx, id));
      events += report.events;
      broken.push(...report.broken.map((b) => `practice ${id}: ${b}`));
      const rows = await services.db.withJob(id, 'verify', async (tx) => [
        ...(await tx
          .select({ key: originals.storageKey, sha256: originals.sha256 })
          .from(originals)
          .where(eq(originals.practiceId, id))),
        ...(await tx
          .select({ key: packs.storageKey, sha256: packs.sha256 })
          .from(packs)
          .where(eq(packs.practiceId, id))),
      ]);
      for (const row of rows) {
        files += 1;
        const found = await hashStored(services, row.key);
        if (found !== row.sha256)
          broken.push(`practice ${id}: ${row.key} is ${found === null ? 'missing' : 'changed'}`);
      }
    }
    return { practices: practices.length, broken, events, originals: files };
  } finally {
    await services.db.end();
  }
}

async function hashStored(services: Services, key: string): Promise<string | null> {
  if ((await services.storage.size(key)) === null) return null;
  const hash = createHash('sha256');
  for await (const chunk of services.storage.read(key)) hash.update(chunk as Buffer);
  return hash.digest('hex');
}
