import type { Me, Round, RoundRow } from '@chordae/contract';
import { callThrough, tellSignedOut } from '../api';
import { fetchRoute } from '../route-fetch';
import { Device } from './device';
import { idbStore } from './idb-store';
import type { DeviceStore } from './kept';
import { Leaving } from './leaving';
import { memoryStore } from './memory-store';
import { leaveWithOthers } from './signing-out';

let store: DeviceStore = memoryStore();
let durable = false;
const ready = idbStore().then(
  (opened) => {
    store = opened;
    durable = true;
  },
  // A private window may give no database: then nothing is kept, and nothing is said to be.
  () => undefined,
);

const alone = async (work: () => Promise<void>): Promise<void> => {
  const locks = (navigator as { locks?: LockManager }).locks;
  if (locks) await locks.request('chordae-outbox', work);
  else await work();
};

/** This browser's own store of what is read and written while there is no line. */
export const device = new Device({
  ready,
  get store() {
    return store;
  },
  get durable() {
    return durable;
  },
  fetchRoute,
  alone,
  later: (run, ms) => {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
  mayTry: () => navigator.onLine,
  now: () => new Date(),
  signedOut: tellSignedOut,
});

export const leaving = new Leaving(device);

/** From here on every call of the pages goes through the device. */
export function startDevice(reread: () => void): void {
  callThrough(device.call);
  leaveWithOthers();
  device.whenSent(reread);
  device.whenKept(askToPersist);
  device.whenMe((me, fromServer) => {
    if (fromServer) prepare(me);
  });
  globalThis.addEventListener('online', () => device.outbox.kickAfresh());
  globalThis.addEventListener('offline', () => device.line.set('down'));
  // What another tab has written or sent is seen when one comes back to this one.
  globalThis.addEventListener('focus', () => void device.outbox.reload());
  if (!navigator.onLine) device.line.set('down');
  let before = device.line.read();
  device.line.subscribe(() => {
    const now = device.line.read();
    // Something was answered again: what waits goes, and what is shown is asked anew.
    if (before === 'down' && now === 'up') {
      device.outbox.kickAfresh();
      reread();
    }
    before = now;
  });
}

let asked = false;
/** Asked once, when work is first kept: the browser then does not throw it away to make room. */
function askToPersist(): void {
  if (asked) return;
  asked = true;
  void navigator.storage?.persist?.().catch(() => undefined);
}

/** So many of the open days, newest first, are taken along whole. */
const DAYS_TAKEN = 4;

/** The open rounds and the cases on them: a day begins where the last network was. */
async function prepareRounds(): Promise<void> {
  const rounds = (await device.call('listRounds', {})) as readonly RoundRow[];
  for (const { id: roundId } of rounds.filter((r) => r.closedAt === null).slice(0, DAYS_TAKEN)) {
    const round = (await device.call('getRound', { params: { roundId } })) as Round;
    for (const { practiceId, referralId } of round.visits)
      if (referralId) await device.call('getCase', { params: { practiceId, referralId } });
  }
}

let prepared: string | null = null;
/** The lists that a day without a network begins with: asked for once, quietly, while there still is one. */
function prepare(me: Me): void {
  if (prepared === me.member.id) return;
  prepared = me.member.id;
  setTimeout(() => {
    for (const { id: practiceId } of me.organisations.filter((o) => o.kind === 'practice')) {
      const quietly = (asked: Promise<unknown>) => void asked.catch(() => undefined);
      quietly(device.call('listPatients', { params: { practiceId }, query: { find: '' } }));
      quietly(device.call('listReferrals', { params: { practiceId } }));
      if (me.organisations.some((o) => o.id === practiceId && o.roles.includes('sonographer')))
        quietly(device.call('listRequests', { params: { practiceId } }));
    }
    if (me.organisations.some((o) => o.roles.includes('sonographer')))
      void prepareRounds().catch(() => undefined);
  }, 3000);
}
