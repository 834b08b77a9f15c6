import type { FieldConflict, RouteName } from '@chordae/contract';

/**
 * What a device keeps while there is no line. An *op* is one write that the server has not taken yet; a *kept reply* is
 * the last answer of the server to a question; a *conflict* is a field that somebody else wrote as well, until a person
 * has chosen. The order of ops is a number counted up on this device: its clock may be wrong and orders nothing.
 */
export interface Op {
  readonly seq: number;
  readonly id: string;
  readonly memberId: string;
  readonly practiceId: string;
  readonly route: RouteName;
  readonly params: Readonly<Record<string, string>>;
  readonly body: unknown;
  /** What it makes or changes, as `case:…`, `patient:…`, `scan:…`. */
  readonly keys: readonly string[];
  /** What must be there before it: when that was refused, this waits. */
  readonly needs: readonly string[];
  /** The row whose fields it changes, for a patch. */
  readonly row: string | null;
  /** Whom or what it is about, in words for a list. */
  readonly about: string;
  /** What the clock of this device said. */
  readonly saidAt: string;
  readonly state: 'waiting' | 'refused';
  /** Goes only together with the password of its member, which is never kept. */
  readonly needsPassword: boolean;
  readonly tries: number;
  /** The server's sentence, where it was refused. */
  readonly says: string | null;
  readonly code: string | null;
}
export type NewOp = Omit<Op, 'seq' | 'state' | 'tries' | 'says' | 'code'>;

/** Where a row stands as far as this device's own patches know. */
export interface RowState {
  readonly key: string;
  readonly memberId: string;
  readonly practiceId: string;
  /** Fields that this device wrote, with the revision each got. */
  readonly stands: Readonly<Record<string, number>>;
  readonly revision: number;
}

/** A field that waits for a person's choice. */
export interface KeptConflict extends FieldConflict {
  readonly key: string;
  readonly memberId: string;
  readonly practiceId: string;
  readonly row: string;
  /** How the row is written: a choice can be made from any page. */
  readonly route: RouteName;
  readonly params: Readonly<Record<string, string>>;
  readonly keys: readonly string[];
  readonly about: string;
  /** Revision of the row at which the other's value was met. */
  readonly revision: number;
}

export interface KeptReply {
  readonly key: string;
  readonly memberId: string;
  readonly practiceId: string | null;
  readonly route: RouteName;
  readonly params: Readonly<Record<string, string>>;
  readonly query: Readonly<Record<string, string>>;
  readonly reply: unknown;
  /** When the server said it. */
  readonly at: string;
}

export interface Finished {
  readonly row: RowState | null;
  readonly conflicts: readonly KeptConflict[];
  /** Fields of the row on which a person has chosen meanwhile. */
  readonly chosen: readonly string[];
}

/** The device's own store. Each method is one transaction: all of it stands, or nothing. */
export interface DeviceStore {
  /** Adds at the end; `prepare` sees the ops that wait on the same row, oldest first, in the same transaction. */
  addOp(op: NewOp, prepare: (op: NewOp, before: readonly Op[]) => NewOp): Promise<Op>;
  /** All ops, by their number. */
  ops(): Promise<Op[]>;
  putOp(op: Op): Promise<void>;
  dropOp(seq: number): Promise<void>;
  /** The server has taken it: the op goes and what it left comes, together. */
  finish(op: Op, done: Finished): Promise<void>;
  row(memberId: string, row: string): Promise<RowState | null>;
  conflicts(): Promise<KeptConflict[]>;
  putConflict(conflict: KeptConflict): Promise<void>;
  dropConflict(key: string): Promise<void>;
  reply(key: string): Promise<KeptReply | null>;
  /** Replies whose key begins so. */
  replies(prefix: string): Promise<KeptReply[]>;
  putReplies(replies: readonly KeptReply[]): Promise<void>;
  /** Small things of the device itself. */
  note<T>(key: string): Promise<T | null>;
  putNote(key: string, value: unknown): Promise<void>;
  /** Everything of one member, or of one member at one practice; `repliesOnly` leaves what is not sent. */
  wipe(whose: { memberId: string; practiceId?: string }, repliesOnly?: boolean): Promise<void>;
}

export function replyKey(memberId: string, path: string): string {
  return `${memberId}|${path}`;
}
export function rowKey(memberId: string, row: string): string {
  return `${memberId}|${row}`;
}
export function conflictKey(memberId: string, row: string, field: string): string {
  return `${memberId}|${row}|${field}`;
}
