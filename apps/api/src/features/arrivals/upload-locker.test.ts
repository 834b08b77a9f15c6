import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cloneDatabase, uuidv7 } from '../../../../../tests/support/test-app';
import { systemClock } from '../../platform/clock';
import { type Database, openDatabase } from '../../platform/db/database';
import { advisoryLocker } from './upload-locker';

let database: Awaited<ReturnType<typeof cloneDatabase>>;
// Two processes, as far as Postgres can tell: each with connections of its own.
let one: Database;
let two: Database;

beforeAll(async () => {
  database = await cloneDatabase();
  const open = () => openDatabase({ url: database.url, role: 'chordae_app', clock: systemClock });
  one = open();
  two = open();
});
afterAll(async () => {
  await Promise.all([one.end(), two.end()]);
  await database.drop();
});

const patient = new AbortController().signal;
const gone = AbortSignal.abort();

describe('the lock on an upload', () => {
  it('refuses a second writer in another process with 423, and lets it in after the first', async () => {
    const id = uuidv7();
    const first = advisoryLocker(one).newLock(id);
    const second = advisoryLocker(two).newLock(id);
    await first.lock(patient, () => {});
    await expect(second.lock(gone, () => {})).rejects.toMatchObject({ status_code: 423 });
    await first.unlock();
    await second.lock(gone, () => {});
    await expect(first.lock(gone, () => {})).rejects.toMatchObject({ status_code: 423 });
    await second.unlock();
  });

  it('asks the holder in the same process to let go, and takes over when it does', async () => {
    const id = uuidv7();
    const locker = advisoryLocker(one);
    const first = locker.newLock(id);
    const second = locker.newLock(id);
    let asked = 0;
    await first.lock(patient, () => {
      asked += 1;
      void first.unlock();
    });
    await second.lock(patient, () => {});
    expect(asked).toBeGreaterThan(0);
    await second.unlock();
  });

  it('does not hinder another upload', async () => {
    const [a, b] = [advisoryLocker(one).newLock(uuidv7()), advisoryLocker(two).newLock(uuidv7())];
    await a.lock(patient, () => {});
    await b.lock(gone, () => {});
    await Promise.all([a.unlock(), b.unlock()]);
  });

  it('is free once the connections of its holder are gone, as after a kill', async () => {
    const id = uuidv7();
    const dying = openDatabase({ url: database.url, role: 'chordae_app', clock: systemClock });
    await advisoryLocker(dying)
      .newLock(id)
      .lock(patient, () => {});
    const heir = advisoryLocker(two).newLock(id);
    await expect(heir.lock(gone, () => {})).rejects.toMatchObject({ status_code: 423 });
    await dying.end();
    await heir.lock(patient, () => {});
    await heir.unlock();
  });

  it('gives its connection back after a refusal: many refusals do not use them up', async () => {
    const id = uuidv7();
    const holder = advisoryLocker(one).newLock(id);
    await holder.lock(patient, () => {});
    // More than the 24 connections that the pool of locks has.
    for (let n = 0; n < 30; n += 1)
      await expect(
        advisoryLocker(two)
          .newLock(id)
          .lock(gone, () => {}),
      ).rejects.toMatchObject({ status_code: 423 });
    await holder.unlock();
  });
});
