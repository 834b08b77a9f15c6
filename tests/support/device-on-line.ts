import type { RouteName } from '@chordae/contract';
import { Device } from '../../apps/portal/src/host/device/device';
import { memoryStore } from '../../apps/portal/src/host/device/memory-store';
import { endpoints } from '../../apps/portal/src/host/endpoints';
import { ApiError, pathOf } from '../../apps/portal/src/host/route-fetch';
import type { Session } from './world';

/**
 * A device of the person of `session`, whose line to the application can be cut, before a request or between it and its
 * reply. Its own clock is wrong by as much as a test likes: it orders nothing.
 */
export function deviceOnLine(session: Session, { now, store = memoryStore() }: { now: Date; store?: Store }) {
  const line = { there: true, loseReplyOf: null as RouteName | null };
  const asked: { route: RouteName; body: unknown }[] = [];
  const device = new Device({
    ready: Promise.resolve(),
    store,
    durable: true,
    fetchRoute: async (route, ask) => {
      if (!line.there) throw new ApiError('NO_NETWORK', 'No connection.');
      asked.push({ route, body: ask.body });
      const reply = await session.call(endpoints[route][0], pathOf(route, ask.params, ask.query), ask.body);
      if (line.loseReplyOf === route) {
        line.loseReplyOf = null;
        line.there = false;
        throw new ApiError('NO_NETWORK', 'No connection.');
      }
      const body = reply.body as { code: 'FIELD_INVALID'; message: string };
      if (reply.status !== 200) throw new ApiError(body.code, body.message);
      return { reply: body, at: '2026-11-25T09:30:00.000Z' };
    },
    alone: (work) => work(),
    later: () => () => undefined,
    mayTry: () => line.there,
    now: () => now,
  });
  const call = (route: RouteName, params: Record<string, string>, body?: unknown, query = {}) =>
    device.call(route, { params, query, ...(body === undefined ? {} : { body }) });
  const back = async () => {
    line.there = true;
    device.outbox.kickAfresh();
    await device.outbox.rest();
  };
  /** Requests that change something, in the order in which they went. */
  const sent = () => asked.map((a) => a.route).filter((route) => endpoints[route][0] !== 'GET');
  return { device, line, asked, sent, store, call, back };
}
export type DeviceOnLine = ReturnType<typeof deviceOnLine>;
type Store = ReturnType<typeof memoryStore>;
