import { describe, expect, it } from 'vitest';
import { ApiError } from '../route-fetch';
import type { NewOp, Op } from './kept';
import { memoryStore } from './memory-store';
import { Outbox } from './outbox';

const MEMBER = 'm1';
let made = 0;
function draft(part: Partial<NewOp> = {}): NewOp {
  made += 1;
  return {
    id: `op${made}`,
    memberId: MEMBER,
    practiceId: 'p1',
    route: 'putMeasurement',
    params: {},
    body: { n: made },
    keys: ['case:a'],
    needs: [],
    row: null,
    about: 'Pebble',
    saidAt: '2026-11-25T09:00:00.000Z',
    needsPassword: false,
    ...part,
  };
}

/** An outbox over a line that can be cut and a server that can refuse. */
function makeOutbox(store = memoryStore()) {
  const line = {
    there: true,
    signedIn: MEMBER as string | null,
    refuse: new Map<string, ApiError>(),
    loseReply: false,
  };
  const sent: { id: string; body: unknown }[] = [];
  const timers: (() => void)[] = [];
  const outbox = new Outbox({
    store,
    send: async (op, body) => {
      if (!line.there) throw new ApiError('NO_NETWORK', 'No connection.');
      if (line.signedIn === null) throw new ApiError('SIGNED_OUT', 'Sign in.');
      const refused = line.refuse.get(op.id);
      if (refused) throw refused;
      sent.push({ id: op.id, body });
      if (line.loseReply) throw new ApiError('NO_NETWORK', 'No connection.');
      return { ok: true };
    },
    whoAmI: async () => {
      if (!line.there) throw new ApiError('NO_NETWORK', 'No connection.');
      return line.signedIn;
    },
    alone: (work) => work(),
    later: (run) => {
      timers.push(run);
      return () => undefined;
    },
    mayTry: () => line.there,
    taken: async () => undefined,
  });
  outbox.setMember(MEMBER, true);
  const write = (op: NewOp) => outbox.write(op, () => 'kept');
  return { outbox, line, sent, store, write, ids: () => sent.map((s) => s.id) };
}

describe('writes that wait', () => {
  it('give the server’s reply while the line is there', async () => {
    const { write, ids, outbox } = makeOutbox();
    const op = draft();
    expect(await write(op)).toEqual({ ok: true });
    expect(ids()).toEqual([op.id]);
    expect(outbox.read()).toEqual([]);
  });

  it('are on the disk before a page is told that they are kept, and go in order when the line is back', async () => {
    const { outbox, line, store, write, ids } = makeOutbox();
    line.there = false;
    const [a, b, c] = [draft(), draft({ practiceId: 'p2', keys: ['case:z'] }), draft()];
    for (const op of [a, b, c]) {
      expect(await write(op)).toBe('kept');
      expect((await store.ops()).some((o) => o.id === op.id)).toBe(true);
    }
    line.there = true;
    outbox.kickAfresh();
    await outbox.rest();
    expect(ids()).toEqual([a.id, b.id, c.id]);
    expect(await store.ops()).toEqual([]);
  });

  it('outlive the page: another one finds them and sends them in the same order', async () => {
    const first = makeOutbox();
    first.line.there = false;
    const ops = [draft(), draft(), draft()];
    for (const op of ops) await first.write(op);
    const second = makeOutbox(first.store);
    await second.outbox.reload();
    second.outbox.kickAfresh();
    await second.outbox.rest();
    expect(second.ids()).toEqual(ops.map((o) => o.id));
  });

  it('are sent again when only the reply was lost: the same id, the same body', async () => {
    const { outbox, line, write, sent } = makeOutbox();
    line.loseReply = true;
    const op = draft();
    expect(await write(op)).toBe('kept');
    line.loseReply = false;
    outbox.kickAfresh();
    await outbox.rest();
    expect(sent).toEqual([
      { id: op.id, body: op.body },
      { id: op.id, body: op.body },
    ]);
  });

  it('stay when refused, hold back what rests on them, and let other cases go on', async () => {
    const { outbox, line, store, write, ids } = makeOutbox();
    line.there = false;
    const patient = draft({ route: 'putPatient', keys: ['patient:x'] });
    const opened = draft({ route: 'putReferral', keys: ['case:a', 'scan:s'], needs: ['patient:x'] });
    const number = draft({ keys: ['case:a'] });
    const other = draft({ keys: ['case:b'] });
    const ofScan = draft({ route: 'patchClip', keys: ['scan:s'] });
    for (const op of [patient, opened, number, other, ofScan]) await write(op);
    line.there = true;
    line.refuse.set(patient.id, new ApiError('FIELD_INVALID', 'name: too long.', 'name'));
    outbox.kickAfresh();
    await outbox.rest();
    expect(ids()).toEqual([other.id]);
    const left = await store.ops();
    expect(left.map((o) => [o.id, o.state])).toEqual([
      [patient.id, 'refused'],
      [opened.id, 'waiting'],
      [number.id, 'waiting'],
      [ofScan.id, 'waiting'],
    ]);
    expect(left[0]).toMatchObject({ says: 'name: too long.', code: 'FIELD_INVALID' });
    expect(outbox.heldBack()).toEqual(new Set(left.map((o) => o.seq)));
    // Mended on the server's side: tried again, all goes, in its old order.
    line.refuse.clear();
    await outbox.tryAgain((left[0] as Op).seq);
    await outbox.rest();
    expect(ids()).toEqual([other.id, patient.id, opened.id, number.id, ofScan.id]);
  });

  it('tell the page that still waits when they are refused, and are not kept twice', async () => {
    const { outbox, line, write } = makeOutbox();
    const op = draft();
    line.refuse.set(op.id, new ApiError('FIELD_INVALID', 'value: not possible.', 'value'));
    await expect(write(op)).rejects.toThrow('value: not possible.');
    expect(outbox.read()).toEqual([]);
  });

  it('are not sent in the name of somebody else who is signed in now', async () => {
    const first = makeOutbox();
    first.line.there = false;
    await first.write(draft());
    const second = makeOutbox(first.store);
    second.line.signedIn = 'm2';
    second.outbox.setMember(MEMBER, false);
    await second.outbox.reload();
    second.outbox.kickAfresh();
    await second.outbox.rest();
    second.outbox.setMember('m2', true);
    await second.outbox.rest();
    expect(second.ids()).toEqual([]);
    expect(await first.store.ops()).toHaveLength(1);
  });

  it('wait for signing in again when the session has ended, and then go by themselves', async () => {
    const { outbox, line, write, ids } = makeOutbox();
    line.signedIn = null;
    const op = draft();
    expect(await write(op)).toBe('kept');
    line.signedIn = MEMBER;
    outbox.setMember(MEMBER, true);
    await outbox.rest();
    expect(ids()).toEqual([op.id]);
  });

  it('go past one over which the service stumbles again and again', async () => {
    const { outbox, line, store, write, ids } = makeOutbox();
    line.there = false;
    const [bad, good] = [draft({ keys: ['case:bad'] }), draft({ keys: ['case:good'] })];
    await write(bad);
    await write(good);
    line.there = true;
    line.refuse.set(bad.id, new ApiError('INTERNAL', 'The service stumbled.'));
    for (let n = 0; n < 8; n += 1) {
      outbox.kickAfresh();
      await outbox.rest();
    }
    expect(ids()).toEqual([good.id]);
    expect((await store.ops()).map((o) => [o.id, o.state])).toEqual([[bad.id, 'refused']]);
  });

  it('that must be signed wait for the password, hold only their own case, and never keep it', async () => {
    const { outbox, store, write, sent, ids } = makeOutbox();
    const signing = draft({ needsPassword: true, body: { signedId: 's' }, keys: ['case:a'] });
    expect(await write(signing)).toBe('kept');
    const after = draft({ keys: ['case:a'] });
    const other = draft({ keys: ['case:b'] });
    expect(await write(after)).toBe('kept');
    expect(await write(other)).toEqual({ ok: true });
    await outbox.rest();
    expect(ids()).toEqual([other.id]);
    outbox.givePassword('a secret phrase');
    await outbox.rest();
    expect(ids()).toEqual([other.id, signing.id, after.id]);
    expect(sent[1]?.body).toEqual({ signedId: 's', password: 'a secret phrase' });
    expect(JSON.stringify(await store.ops())).not.toContain('secret');
    // The next one asks again.
    const next = draft({ needsPassword: true, keys: ['case:c'] });
    expect(await write(next)).toBe('kept');
    await outbox.rest();
    expect(ids()).not.toContain(next.id);
  });

  it('that were signed with a wrong password wait on, with the sentence', async () => {
    const { outbox, line, store, write } = makeOutbox();
    const signing = draft({ needsPassword: true });
    await write(signing);
    line.refuse.set(signing.id, new ApiError('PASSWORD_WRONG', 'The password is wrong.'));
    outbox.givePassword('wrong');
    await outbox.rest();
    expect(await store.ops()).toMatchObject([{ state: 'waiting', says: 'The password is wrong.' }]);
  });
});
