import { useSyncExternalStore } from 'react';
import { ApiError, noNetwork } from '../route-fetch';
import { hashFile } from '../uploads/hash-file';
import type { KeptUpload } from '../uploads/upload-store';
import { dropUpload, keptFile, keptUploads } from '../uploads/upload-store';
import { uuidv7 } from '../uuid';
import type { Device } from './device';
import { type LeavePort, type Left, noteRead, settleLeft } from './left-practices';

/** The two doors through which work reaches a practice whose member has left: writing only. */
const leave: LeavePort = {
  leaveWork: (practiceId, workId, body) =>
    put(`/api/left-work/${practiceId}/${workId}`, 'application/json', JSON.stringify(body)),
  leaveFile: async (practiceId, workId, file) => {
    const bytes = await keptFile(file);
    // Its bytes are gone from the browser's store: there is nothing to hand over.
    if (!bytes) return;
    const sha256 = file.sha256 ?? (await hashFile(bytes)) ?? '';
    const says = new URLSearchParams({ name: file.fileName, sha256 });
    await put(
      `/api/left-work/${practiceId}/${workId}/files/${file.arrivalId}?${says}`,
      'application/octet-stream',
      bytes,
    );
  },
};

async function put(path: string, type: string, body: BodyInit): Promise<void> {
  const response = await fetch(path, { method: 'PUT', headers: { 'content-type': type }, body }).catch(() => {
    throw noNetwork();
  });
  if (response.ok) return;
  const reply = (await response.json().catch(() => null)) as { code?: 'NOT_FOUND'; message?: string } | null;
  throw new ApiError(
    reply?.code ?? 'INTERNAL',
    reply?.message ?? `The service answered with ${response.status}.`,
  );
}

/** What became of practices that were left, and who is told of it. */
export class Leaving {
  private all: readonly Left[] = [];
  private busy = false;
  private readonly listeners = new Set<() => void>();

  constructor(private readonly device: Device) {
    device.whenMe((_me, fromServer) => {
      if (fromServer && device.durable) void this.settle();
    });
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };
  readonly read = (): readonly Left[] => this.all;

  /** Hands over what is still here; also when a person asks for it. */
  async settle(): Promise<void> {
    const me = this.device.member();
    if (!me || this.busy) return;
    this.busy = true;
    try {
      const list = async (): Promise<readonly KeptUpload[]> => keptUploads();
      this.put(
        await settleLeft(me, {
          store: this.device.store,
          leave,
          files: { list, drop: dropUpload },
          now: () => this.device.now().toISOString(),
          newId: () => uuidv7(),
        }),
      );
      await this.device.outbox.reload();
    } finally {
      this.busy = false;
    }
  }

  async readByPerson(practiceId: string): Promise<void> {
    const memberId = this.device.member()?.member.id;
    if (!memberId) return;
    await noteRead(this.device.store, memberId, practiceId);
    this.put(this.all.filter((l) => l.practiceId !== practiceId || l.state === 'handing-over'));
  }

  /** Throws away what the practice would not take. */
  async throwAway(practiceId: string): Promise<void> {
    const memberId = this.device.member()?.member.id;
    if (!memberId) return;
    for (const file of await keptUploads())
      if (file.memberId === memberId && file.practiceId === practiceId) await dropUpload(file.arrivalId);
    await this.device.store.wipe({ memberId, practiceId });
    await this.readByPerson(practiceId);
    await this.device.outbox.reload();
  }

  private put(all: readonly Left[]): void {
    this.all = all;
    for (const listener of this.listeners) listener();
  }
}

/** Practices that the person who is signed in has left, as far as they have not been told yet. */
export function useLeft(leaving: Leaving): readonly Left[] {
  return useSyncExternalStore(leaving.subscribe, leaving.read);
}
