import type { DBSchema, IDBPDatabase } from 'idb';
import { openDB } from 'idb';
import type { DeviceStore, KeptConflict, KeptReply, Op, RowState } from './kept';
import { rowKey } from './kept';

interface Schema extends DBSchema {
  ops: { key: number; value: Op };
  rows: { key: string; value: RowState };
  conflicts: { key: string; value: KeptConflict };
  replies: { key: string; value: KeptReply };
  notes: { key: string; value: unknown };
}

export const DEVICE_DATABASE = 'chordae-device';
/** What is written must lie on the disk before the page says that it is kept. */
const DURABLE = { durability: 'strict' } as const;

/** The store in the browser's own database. Rejects where a browser gives none. */
export async function idbStore(): Promise<DeviceStore> {
  const db = await openDB<Schema>(DEVICE_DATABASE, 1, {
    upgrade: (fresh) => {
      fresh.createObjectStore('ops', { keyPath: 'seq', autoIncrement: true });
      fresh.createObjectStore('rows', { keyPath: 'key' });
      fresh.createObjectStore('conflicts', { keyPath: 'key' });
      fresh.createObjectStore('replies', { keyPath: 'key' });
      fresh.createObjectStore('notes');
    },
  });
  return {
    addOp: async (op, prepare) => {
      const tx = db.transaction('ops', 'readwrite', DURABLE);
      const before = op.row
        ? (await tx.store.getAll()).filter((o) => o.memberId === op.memberId && o.row === op.row)
        : [];
      const kept = { ...prepare(op, before), state: 'waiting' as const, tries: 0, says: null, code: null };
      // The database gives the number: one row for all tabs, and never twice.
      const seq = await tx.store.add(kept as Op);
      await tx.done;
      return { ...kept, seq };
    },
    ops: () => db.getAll('ops'),
    putOp: async (op) => {
      const tx = db.transaction('ops', 'readwrite', DURABLE);
      // Thrown away meanwhile in another tab: it does not come back.
      if (await tx.store.get(op.seq)) await tx.store.put(op);
      await tx.done;
    },
    dropOp: (seq) => db.delete('ops', seq),
    finish: async (op, done) => {
      const tx = db.transaction(['ops', 'rows', 'conflicts'], 'readwrite', DURABLE);
      const work: Promise<unknown>[] = [tx.objectStore('ops').delete(op.seq)];
      if (done.row) work.push(tx.objectStore('rows').put(done.row));
      for (const field of done.chosen)
        work.push(tx.objectStore('conflicts').delete(`${op.memberId}|${op.row}|${field}`));
      for (const c of done.conflicts) work.push(tx.objectStore('conflicts').put(c));
      await Promise.all([...work, tx.done]);
    },
    row: async (memberId, row) => (await db.get('rows', rowKey(memberId, row))) ?? null,
    conflicts: () => db.getAll('conflicts'),
    putConflict: async (conflict) => void (await db.put('conflicts', conflict)),
    dropConflict: (key) => db.delete('conflicts', key),
    reply: async (key) => (await db.get('replies', key)) ?? null,
    replies: (prefix) => db.getAll('replies', IDBKeyRange.bound(prefix, `${prefix}\uffff`)),
    putReplies: async (all) => {
      const tx = db.transaction('replies', 'readwrite');
      await Promise.all([...all.map((r) => tx.store.put(r)), tx.done]);
    },
    note: async <T>(key: string) => ((await db.get('notes', key)) ?? null) as T | null,
    putNote: async (key, value) => void (await db.put('notes', value, key)),
    wipe: async (whose, repliesOnly = false) => wipe(db, whose, repliesOnly),
  };
}

async function wipe(
  db: IDBPDatabase<Schema>,
  whose: { memberId: string; practiceId?: string },
  repliesOnly: boolean,
): Promise<void> {
  const goes = (x: { memberId: string; practiceId: string | null }) =>
    x.memberId === whose.memberId && (whose.practiceId === undefined || x.practiceId === whose.practiceId);
  const tx = db.transaction(['ops', 'rows', 'conflicts', 'replies'], 'readwrite', DURABLE);
  for (const r of await tx.objectStore('replies').getAll())
    if (goes(r)) await tx.objectStore('replies').delete(r.key);
  if (!repliesOnly) {
    for (const o of await tx.objectStore('ops').getAll())
      if (goes(o)) await tx.objectStore('ops').delete(o.seq);
    for (const r of await tx.objectStore('rows').getAll())
      if (goes(r)) await tx.objectStore('rows').delete(r.key);
    for (const c of await tx.objectStore('conflicts').getAll())
      if (goes(c)) await tx.objectStore('conflicts').delete(c.key);
  }
  await tx.done;
}
