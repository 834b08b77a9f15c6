import type { Me, RouteName } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { ApiError, type Ask } from '../route-fetch';
import { Device } from './device';
import { memoryStore } from './memory-store';

const ME = {
  member: { id: 'm', name: 'Sonographer', email: 's@test.example' },
  organisations: [{ id: 'p', kind: 'practice', name: 'Ash', roles: ['sonographer'] }],
  agreements: [],
} as unknown as Me;

/** A device whose disk takes no more from a moment on, and whose line may be gone. */
function fullDevice() {
  const store = memoryStore();
  const disk = { full: false };
  const line = { there: true };
  const asked: RouteName[] = [];
  const refuse = async () => {
    throw new DOMException('The disk is full.', 'QuotaExceededError');
  };
  const device = new Device({
    ready: Promise.resolve(),
    get store() {
      return disk.full ? { ...store, addOp: refuse, putReplies: refuse, putNote: refuse } : store;
    },
    durable: true,
    fetchRoute: async (route) => {
      if (!line.there) throw new ApiError('NO_NETWORK', 'cut');
      asked.push(route);
      return { reply: route === 'me' ? ME : route === 'listRounds' ? [] : { revision: 2 }, at: null };
    },
    alone: (work) => work(),
    later: () => () => undefined,
    mayTry: () => line.there,
    now: () => new Date('2026-11-26T09:00:00Z'),
  });
  const call = (route: RouteName, ask: Ask & { body?: unknown } = {}) => device.call(route, ask);
  return { device, disk, line, asked, call };
}
const round = { params: { roundId: 'r' }, body: { day: '2026-11-26', title: '' } };

describe('a device without room', () => {
  it('signs in and shows answers all the same, and sends what is entered without keeping it', async () => {
    const d = fullDevice();
    d.disk.full = true;
    await d.call('me');
    expect(await d.call('listRounds')).toEqual([]);
    expect(await d.call('putRound', round)).toEqual({ revision: 2 });
    expect(d.asked).toEqual(['me', 'listRounds', 'putRound']);
  });

  it('says without a network that nothing was kept, and does not pretend', async () => {
    const d = fullDevice();
    await d.call('me');
    d.disk.full = true;
    d.line.there = false;
    await expect(d.call('putRound', round)).rejects.toThrow(
      /no room left, so what you just entered is not kept/,
    );
    expect(d.device.outbox.read()).toEqual([]);
  });

  it('lets nothing overtake what waits', async () => {
    const d = fullDevice();
    await d.call('me');
    d.line.there = false;
    await d.call('putRound', round);
    d.disk.full = true;
    d.line.there = true;
    await expect(
      d.call('patchRound', { params: { roundId: 'r' }, body: { base: 1, fields: {} } }),
    ).rejects.toMatchObject({
      code: 'NO_ROOM',
    });
    expect(d.asked).toEqual(['me']);
  });
});
