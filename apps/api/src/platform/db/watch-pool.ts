import type pg from 'pg';

/** An idle connection that breaks must not end the process: both the pool and each of its clients are listened to. */
export function watchPool(pool: pg.Pool, onError: (error: Error) => void): void {
  pool.on('error', onError);
  pool.on('connect', (client) => {
    client.on('error', onError);
  });
}
