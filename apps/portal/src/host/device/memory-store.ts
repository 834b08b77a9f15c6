import type { DeviceStore, KeptConflict, KeptReply, Op, RowState } from './kept';
import { rowKey } from './kept';

/** The store in memory: for tests, and where a browser gives no database (nothing outlives the page then). */
export function memoryStore(): DeviceStore {
  let ops: Op[] = [];
  let next = 1;
  const rows = new Map<string, RowState>();
  const conflicts = new Map<string, KeptConflict>();
  const replies = new Map<string, KeptReply>();
  const notes = new Map<string, unknown>();
  return {
    addOp: async (op, prepare) => {
      const before = ops.filter((o) => o.memberId === op.memberId && o.row !== null && o.row === op.row);
      const kept: Op = {
        ...prepare(op, before),
        seq: next,
        state: 'waiting',
        tries: 0,
        says: null,
        code: null,
      };
      next += 1;
      ops = [...ops, kept];
      return kept;
    },
    ops: async () => ops,
    putOp: async (op) => {
      ops = ops.map((o) => (o.seq === op.seq ? op : o));
    },
    dropOp: async (seq) => {
      ops = ops.filter((o) => o.seq !== seq);
    },
    finish: async (op, done) => {
      ops = ops.filter((o) => o.seq !== op.seq);
      if (done.row) rows.set(done.row.key, done.row);
      for (const field of done.chosen) conflicts.delete(`${op.memberId}|${op.row}|${field}`);
      for (const c of done.conflicts) conflicts.set(c.key, c);
    },
    row: async (memberId, row) => rows.get(rowKey(memberId, row)) ?? null,
    conflicts: async () => [...conflicts.values()],
    putConflict: async (conflict) => void conflicts.set(conflict.key, conflict),
    dropConflict: async (key) => void conflicts.delete(key),
    reply: async (key) => replies.get(key) ?? null,
    replies: async (prefix) => [...replies.values()].filter((r) => r.key.startsWith(prefix)),
    putReplies: async (all) => {
      for (const r of all) replies.set(r.key, r);
    },
    note: async <T>(key: string) => (notes.get(key) ?? null) as T | null,
    putNote: async (key, value) => void notes.set(key, value),
    wipe: async (whose, repliesOnly = false) => {
      const goes = (x: { memberId: string; practiceId: string | null }) =>
        x.memberId === whose.memberId &&
        (whose.practiceId === undefined || x.practiceId === whose.practiceId);
      for (const [key, r] of replies) if (goes(r)) replies.delete(key);
      if (repliesOnly) return;
      ops = ops.filter((o) => !goes(o));
      for (const [key, r] of rows) if (goes(r)) rows.delete(key);
      for (const [key, c] of conflicts) if (goes(c)) conflicts.delete(key);
    },
  };
}
