import type { Me } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { ApiError } from '../route-fetch';
import type { KeptUpload } from '../uploads/upload-store';
import type { NewOp } from './kept';
import { type LeavePort, leftOf, noteRead, settleLeft } from './left-practices';
import { memoryStore } from './memory-store';

const meOf = (...practices: string[]): Me => ({
  member: { id: 'm1', name: 'Visiting sonographer', email: 'v@test.example' },
  organisations: practices.map((id) => ({
    id,
    kind: 'practice',
    name: `Practice ${id}`,
    zone: 'Europe/Dublin',
    phone: '',
    roles: ['sonographer'],
    demo: true,
    paper: { lines: [], footer: '' },
  })),
  agreements: [],
});
const op = (practiceId: string, id: string): NewOp => ({
  id,
  memberId: 'm1',
  practiceId,
  route: 'putWeight',
  params: {},
  body: {},
  keys: [],
  needs: [],
  row: null,
  about: '',
  saidAt: '',
  needsPassword: false,
});
const file = (practiceId: string, arrivalId: string): KeptUpload => ({
  arrivalId,
  practiceId,
  referralId: 'r',
  scanId: 's',
  fileName: `${arrivalId}.dcm`,
  sizeBytes: 7,
  sha256: null,
  announced: false,
  memberId: 'm1',
  seq: 1,
  view: null,
  sent: false,
});

async function makeDevice() {
  const store = memoryStore();
  const same = (made: NewOp) => made;
  await store.addOp(op('A', 'op-a'), same);
  await store.addOp(op('B', 'op-b1'), same);
  await store.addOp(op('B', 'op-b2'), same);
  await store.putReplies(
    ['A', 'B'].map((practiceId) => ({
      key: `m1|/api/${practiceId}`,
      memberId: 'm1',
      practiceId,
      route: 'listReferrals' as const,
      params: {},
      query: {},
      reply: [],
      at: '',
    })),
  );
  let files = [file('A', 'f-a'), file('B', 'f-b')];
  const handed: string[] = [];
  let refuse: ApiError | null = null;
  const leave: LeavePort = {
    leaveWork: async (practiceId, workId, body) => {
      if (refuse) throw refuse;
      handed.push(
        `${practiceId} ${workId} ${(body.ops as (NewOp & { arrivalId?: string })[]).map((o) => o.id ?? `of ${o.arrivalId}`).join('+')}`,
      );
    },
    leaveFile: async (practiceId, workId, f) => void handed.push(`${practiceId} ${workId} ${f.arrivalId}`),
  };
  let made = 0;
  const settle = (me: Me) =>
    settleLeft(me, {
      store,
      leave,
      files: {
        list: async () => files,
        drop: async (id) => {
          files = files.filter((f) => f.arrivalId !== id);
        },
      },
      now: () => '2026-11-26T08:00:00.000Z',
      newId: () => {
        made += 1;
        return `work${made}`;
      },
    });
  return {
    store,
    settle,
    handed,
    files: () => files.map((f) => f.arrivalId),
    refuse: (error: ApiError | null) => {
      refuse = error;
    },
  };
}

describe('a practice that its member has left', () => {
  it('is touched only when the server no longer names it', async () => {
    const d = await makeDevice();
    expect(await d.settle(meOf('A', 'B'))).toEqual([]);
    expect(d.handed).toEqual([]);
    expect(await d.store.ops()).toHaveLength(3);
  });

  it('gets what was unsent, and nothing of it is left on the device', async () => {
    const d = await makeDevice();
    await d.settle(meOf('A', 'B'));
    const left = await d.settle(meOf('A'));
    expect(left).toMatchObject([
      { practiceId: 'B', practiceName: 'Practice B', changes: 2, files: 1, state: 'handed-over' },
    ]);
    expect(d.handed).toEqual(['B work1 op-b1+op-b2+of f-b', 'B work1 f-b']);
    expect((await d.store.ops()).map((o) => o.id)).toEqual(['op-a']);
    expect((await d.store.replies('m1|')).map((r) => r.practiceId)).toEqual(['A']);
    expect(d.files()).toEqual(['f-a']);
    // Said until it was read; then no more.
    await noteRead(d.store, 'm1', 'B');
    expect(await leftOf(d.store, 'm1')).toEqual([]);
  });

  it('can be read no more at once, and gets the same work later when the line is cut in between', async () => {
    const d = await makeDevice();
    d.refuse(new ApiError('NO_NETWORK', 'No connection.'));
    expect(await d.settle(meOf('A'))).toMatchObject([{ practiceId: 'B', changes: 2, state: 'handing-over' }]);
    expect((await d.store.replies('m1|')).map((r) => r.practiceId)).toEqual(['A']);
    expect(await d.store.ops()).toHaveLength(3);
    d.refuse(null);
    expect(await d.settle(meOf('A'))).toMatchObject([{ practiceId: 'B', changes: 2, state: 'handed-over' }]);
    expect(d.handed[0]).toMatch(/^B work1 /);
  });

  it('keeps what it would not take, and says why', async () => {
    const d = await makeDevice();
    d.refuse(new ApiError('NOT_FOUND', 'Not found, or not yours to see.'));
    await d.settle(meOf('A'));
    expect((await leftOf(d.store, 'm1'))[0]).toMatchObject({
      state: 'refused',
      says: 'Not found, or not yours to see.',
    });
    expect(await d.store.ops()).toHaveLength(3);
  });
});
