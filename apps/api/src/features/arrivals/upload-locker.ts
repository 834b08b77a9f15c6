import type { Lock, Locker, RequestRelease } from '@tus/server';
import type { ReservedSql } from 'postgres';
import type { Database } from '../../platform/db/database';

/** Waits this long for the holder of an upload to let go before the newcomer is refused. */
const PATIENCE_MS = 15_000;

/**
 * tus locks by Postgres advisory locks, each on a connection of its own: right for any number of API processes, and a
 * process that dies lets go by itself. Within one process the holder is asked to stop at once.
 */
export function advisoryLocker(db: Database): Locker {
  const holders = new Map<string, RequestRelease>();
  return {
    newLock(id: string): Lock {
      let held: ReservedSql | null = null;
      return {
        async lock(signal: AbortSignal, requestRelease: RequestRelease) {
          const connection = await db.reserve();
          const until = Date.now() + PATIENCE_MS;
          for (;;) {
            const got = await connection<
              { ok: boolean }[]
            >`select pg_try_advisory_lock(702_020, hashtext(${id})) as ok`;
            if (got[0]?.ok) break;
            void holders.get(id)?.();
            if (signal.aborted || Date.now() > until) {
              connection.release();
              throw Object.assign(new Error('upload is locked'), {
                status_code: 423,
                body: 'This file is being uploaded by another window.\n',
              });
            }
            await new Promise((resolve) => setTimeout(resolve, 100));
          }
          held = connection;
          holders.set(id, requestRelease);
        },
        async unlock() {
          holders.delete(id);
          const connection = held;
          held = null;
          if (!connection) return;
          try {
            await connection`select pg_advisory_unlock(702_020, hashtext(${id}))`;
          } finally {
            connection.release();
          }
        },
      };
    },
  };
}
