import type { Me } from '@chordae/contract';
import { isPassing } from '../route-fetch';
import type { KeptUpload } from '../uploads/upload-store';
import type { DeviceStore } from './kept';

/** How work that its maker may not send any more reaches the practice it was made for. */
export interface LeavePort {
  leaveWork(practiceId: string, workId: string, body: { memberName: string; ops: unknown[] }): Promise<void>;
  leaveFile(practiceId: string, workId: string, file: KeptUpload): Promise<void>;
}
export interface FilePort {
  list(): Promise<readonly KeptUpload[]>;
  drop(arrivalId: string): Promise<void>;
}

/** What a person is told of a practice that they have left. */
export interface Left {
  readonly practiceId: string;
  readonly practiceName: string;
  /** Made once: handing over twice lays down one work. */
  readonly workId: string;
  /** When this device learnt of it, by its own clock. */
  readonly noticedAt: string;
  readonly changes: number;
  readonly files: number;
  readonly state: 'handing-over' | 'handed-over' | 'refused';
  readonly says: string | null;
}

interface Ports {
  readonly store: DeviceStore;
  readonly files: FilePort;
  readonly leave: LeavePort;
  readonly now: () => string;
  readonly newId: () => string;
}

const noteKey = (memberId: string) => `left:${memberId}`;
const namesKey = (memberId: string) => `practice-names:${memberId}`;

/** What was left so far, for the page. */
export async function leftOf(store: DeviceStore, memberId: string): Promise<readonly Left[]> {
  return (await store.note<Left[]>(noteKey(memberId))) ?? [];
}
/** The person has read it. What is still to be handed over stays. */
export async function noteRead(store: DeviceStore, memberId: string, practiceId: string): Promise<void> {
  const rest = (await leftOf(store, memberId)).filter(
    (l) => l.practiceId !== practiceId || l.state === 'handing-over',
  );
  await store.putNote(noteKey(memberId), rest);
}

/**
 * After the server has said to which practices somebody belongs: what is kept of any other can be read no more at once;
 * what was not sent is handed to that practice and then goes from the device.
 */
export async function settleLeft(me: Me, ports: Ports): Promise<readonly Left[]> {
  const memberId = me.member.id;
  const names = await rememberNames(me, ports.store);
  const own = new Set(me.organisations.filter((o) => o.kind === 'practice').map((o) => o.id));
  const all = new Map((await leftOf(ports.store, memberId)).map((l) => [l.practiceId, l]));
  for (const practiceId of await practicesKept(memberId, ports)) {
    if (own.has(practiceId)) continue;
    await ports.store.wipe({ memberId, practiceId }, true);
    // A round names patients of all its practices: it is asked for again.
    await ports.store.wipe({ memberId, practiceId: '' }, true);
    const known = all.get(practiceId);
    const left: Left =
      known && known.state !== 'handed-over'
        ? known
        : {
            practiceId,
            practiceName: names[practiceId] ?? 'a practice',
            workId: ports.newId(),
            noticedAt: ports.now(),
            changes: 0,
            files: 0,
            state: 'handing-over',
            says: null,
          };
    all.set(practiceId, left);
    await ports.store.putNote(noteKey(memberId), [...all.values()]);
    all.set(practiceId, await handOver(me, left, ports));
    await ports.store.putNote(noteKey(memberId), [...all.values()]);
  }
  return [...all.values()];
}

async function rememberNames(me: Me, store: DeviceStore): Promise<Record<string, string>> {
  const before = (await store.note<Record<string, string>>(namesKey(me.member.id))) ?? {};
  const now = Object.fromEntries(me.organisations.map((o) => [o.id, o.name]));
  const names = { ...before, ...now };
  await store.putNote(namesKey(me.member.id), names);
  return names;
}

async function practicesKept(memberId: string, { store, files }: Ports): Promise<Set<string>> {
  const kept = [
    ...(await store.ops()),
    ...(await store.conflicts()),
    ...(await store.replies(`${memberId}|`)),
    ...(await files.list()),
  ];
  return new Set(
    // What names no practice is the person's own.
    kept.flatMap((k) => (k.memberId === memberId && k.practiceId ? [k.practiceId] : [])),
  );
}

async function handOver(me: Me, left: Left, { store, files, leave }: Ports): Promise<Left> {
  const memberId = me.member.id;
  const mine = (k: { memberId: string; practiceId: string }) =>
    k.memberId === memberId && k.practiceId === left.practiceId;
  const ops = (await store.ops()).filter(mine);
  const conflicts = (await store.conflicts()).filter(mine);
  const unsent = (await files.list()).filter((f) => mine(f) && !f.sent);
  const counted = { ...left, changes: ops.length + conflicts.length, files: unsent.length };
  try {
    if (counted.changes + counted.files > 0) {
      const works = [
        ...ops,
        ...conflicts.map((c) => ({ ...c, unsettled: true })),
        // Which case and scan each file belongs to: the bytes alone do not say it.
        ...unsent.map((f) => ({
          upload: true,
          arrivalId: f.arrivalId,
          referralId: f.referralId,
          scanId: f.scanId,
          fileName: f.fileName,
          view: f.view ?? null,
        })),
      ];
      await leave.leaveWork(left.practiceId, left.workId, { memberName: me.member.name, ops: works });
      for (const file of unsent) await leave.leaveFile(left.practiceId, left.workId, file);
    }
  } catch (error) {
    if (isPassing(error)) return { ...counted, state: 'handing-over' };
    return { ...counted, state: 'refused', says: error instanceof Error ? error.message : null };
  }
  for (const file of (await files.list()).filter(mine)) await files.drop(file.arrivalId);
  await store.wipe({ memberId, practiceId: left.practiceId });
  return { ...counted, state: 'handed-over', says: null };
}
