import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { type LeftWork, routes } from '@chordae/contract';
import { and, desc, eq, sql } from 'drizzle-orm';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../../platform/app-error';
import type { ActorTx } from '../../platform/db/database';
import { serve } from '../../platform/http/route-server';
import type { Services } from '../../platform/services';
import { storageKey } from '../../platform/storage/folder-storage';
import { uuidv7 } from '../../platform/uuid';
import { safeFileName } from '../arrivals';
import { recordEvent } from '../events';
import { leftFiles, leftWorkRows } from './left-work.tables';

/**
 * What somebody who has left a practice still had on a device goes to the practice. That person can write it down here for
 * sixty days after leaving and read nothing; the practice's people read it and take it over under their own names.
 */
export async function registerLeftWork(app: FastifyInstance, services: Services): Promise<void> {
  serve(app, services, routes.leaveWork, async ({ tx, actor, params, body }) => {
    const name = await leftPracticeName(tx, params.practiceId);
    const made = await tx.execute<{ ok: boolean }>(
      sql`select leave_work(${params.practiceId}, ${params.workId}, ${actor.name}, ${JSON.stringify(body.ops)}::text::jsonb) as ok`,
    );
    if (!made[0]?.ok) throw new AppError('NOT_FOUND');
    return { practiceName: name };
  });

  // Bytes as they are: this parser holds for these routes only, since every other body is JSON.
  await app.register(async (scope) => {
    scope.addContentTypeParser('application/octet-stream', (_request, payload, done) => done(null, payload));
    serve(scope, services, routes.leaveFile, async ({ tx, params, query, request }) => {
      await leftPracticeName(tx, params.practiceId);
      const stored = await storeBytes(services, request.body as Readable, query.sha256);
      const made = await tx.execute<{ ok: boolean }>(
        sql`select leave_file(${params.practiceId}, ${params.workId}, ${params.fileId}, ${safeFileName(query.name)}, ${stored.sizeBytes}, ${query.sha256}, ${stored.key}) as ok`,
      );
      if (made[0]?.ok) return { ok: true as const };
      await services.storage.remove(stored.key);
      throw new AppError('NOT_FOUND');
    });
  });

  serve(app, services, routes.listLeftWork, ({ tx, params }) => listWork(tx, params.practiceId));

  serve(app, services, routes.leftFile, async ({ tx, params, reply }) => {
    const file = (
      await tx
        .select()
        .from(leftFiles)
        .where(and(eq(leftFiles.practiceId, params.practiceId), eq(leftFiles.id, params.fileId)))
    )[0];
    if (!file || file.workId !== params.workId) throw new AppError('NOT_FOUND');
    void reply
      .header('content-type', 'application/octet-stream')
      .header('content-length', file.sizeBytes)
      .header('cache-control', 'private, no-store')
      .send(services.storage.read(file.storageKey));
  });

  serve(app, services, routes.takeLeftWork, async ({ tx, actor, params }) => {
    const key = and(eq(leftWorkRows.practiceId, params.practiceId), eq(leftWorkRows.id, params.workId));
    const row = (await tx.select().from(leftWorkRows).where(key).for('update'))[0];
    if (!row) throw new AppError('NOT_FOUND');
    if (row.takenAt === null) {
      await tx
        .update(leftWorkRows)
        .set({ takenByName: actor.name, takenAt: services.clock.now() })
        .where(key);
      await recordEvent(tx, actor, {
        practiceId: params.practiceId,
        groupId: null,
        referralId: null,
        kind: 'left-work.taken',
        data: { workId: params.workId, from: row.fromName },
      });
    }
    return { ok: true as const };
  });
}

/** Name of a practice that the actor has left lately; for any other, 'not found'. */
async function leftPracticeName(tx: ActorTx, practiceId: string): Promise<string> {
  const rows = await tx.execute<{ name: string }>(sql`select name from left_practice(${practiceId})`);
  const name = rows[0]?.name;
  if (name === undefined) throw new AppError('NOT_FOUND');
  return name;
}

async function storeBytes(services: Services, body: Readable, sha256: string) {
  const folder = path.join(services.config.dataFolder, 'uploads');
  await mkdir(folder, { recursive: true });
  const id = uuidv7();
  const file = path.join(folder, `left-${id}`);
  const hash = createHash('sha256');
  let sizeBytes = 0;
  try {
    await pipeline(
      body,
      async function* (chunks: AsyncIterable<Buffer>) {
        for await (const chunk of chunks) {
          sizeBytes += chunk.length;
          if (sizeBytes > services.config.CHORDAE_MAX_FILE_BYTES) throw new AppError('FILE_TOO_LARGE');
          hash.update(chunk);
          yield chunk;
        }
      },
      createWriteStream(file),
    );
    if (hash.digest('hex') !== sha256)
      throw new AppError(
        'FIELD_INVALID',
        {},
        { field: 'sha256', message: 'sha256: these bytes have another one. Send the file again.' },
      );
    const key = storageKey('originals', id);
    await services.storage.takeFile(key, file);
    return { key, sizeBytes };
  } finally {
    await rm(file, { force: true });
  }
}

async function listWork(tx: ActorTx, practiceId: string): Promise<LeftWork[]> {
  const rows = await tx
    .select()
    .from(leftWorkRows)
    .where(eq(leftWorkRows.practiceId, practiceId))
    .orderBy(desc(leftWorkRows.madeAt))
    .limit(50);
  const files = await tx.select().from(leftFiles).where(eq(leftFiles.practiceId, practiceId));
  return rows.map((r) => ({
    id: r.id,
    fromName: r.fromName,
    madeAt: r.madeAt.toISOString(),
    ops: r.work,
    files: files
      .filter((f) => f.workId === r.id)
      .map((f) => ({ id: f.id, fileName: f.fileName, sizeBytes: f.sizeBytes })),
    takenBy: r.takenByName,
    takenAt: r.takenAt?.toISOString() ?? null,
  }));
}
