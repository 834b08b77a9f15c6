import type { PatchReply } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { type Patch, PatchQueue } from './patch-queue';

const saved = (revision: number, part: Partial<PatchReply> = {}): PatchReply => ({
  revision,
  applied: [],
  conflicts: [],
  stands: {},
  ...part,
});
const never = () => () => undefined;

/** A queue that sends only when told, and a list of what was sent. */
function makeQueue(replies: (PatchReply | Error)[]) {
  const sent: Patch[] = [];
  const send = (patch: Patch) => {
    sent.push(patch);
    const reply = replies.shift() ?? saved(99);
    return reply instanceof Error ? Promise.reject(reply) : Promise.resolve(reply);
  };
  return { sent, queue: new PatchQueue(3, send, { later: never, sentenceOf: (e) => (e as Error).message }) };
}

describe('autosave by patches', () => {
  it('sends what was typed once, on the revision it was typed on, and goes on from the reply', async () => {
    const { sent, queue } = makeQueue([saved(4), saved(5)]);
    queue.set({ question: 'Is' });
    queue.set({ question: 'Is it large?' });
    expect(queue.read()).toMatchObject({ state: 'changed', own: { question: 'Is it large?' } });
    await queue.flush();
    queue.set({ history: 'Coughs.' });
    await queue.flush();
    expect(sent).toEqual([
      { base: 3, bases: {}, fields: { question: 'Is it large?' } },
      { base: 3, bases: {}, fields: { history: 'Coughs.' } },
    ]);
    expect(queue.read()).toMatchObject({ state: 'saved', own: {} });
  });

  it('rests a field on its own last patch, so that only what others wrote in it since is a conflict', async () => {
    const { sent, queue } = makeQueue([saved(6, { stands: { question: 6 } }), saved(7)]);
    queue.set({ question: 'Is' });
    await queue.flush();
    queue.set({ question: 'Is it large?', history: 'Typed without having seen revision 5.' });
    await queue.flush();
    expect(sent[1]).toMatchObject({ base: 3, bases: { question: 6 } });
  });

  it('keeps what was typed when sending fails, and what was typed since wins', async () => {
    const { sent, queue } = makeQueue([new Error('No connection.'), saved(4)]);
    queue.set({ question: 'a', history: 'b' });
    const going = queue.flush();
    queue.set({ question: 'newer' });
    await going;
    expect(queue.read()).toMatchObject({
      state: 'failed',
      problem: 'No connection.',
      own: { question: 'newer', history: 'b' },
    });
    await queue.flush();
    expect(sent[1]).toMatchObject({ base: 3, fields: { question: 'newer', history: 'b' } });
    expect(queue.read()).toMatchObject({ state: 'saved', problem: null });
  });

  it('does not move its base under unsaved typing', async () => {
    const { sent, queue } = makeQueue([saved(9)]);
    queue.set({ question: 'typed on revision 3' });
    queue.seen(8);
    queue.set({ history: 'typed in sight of revision 8' });
    await queue.flush();
    expect(sent[0]).toMatchObject({ base: 8, bases: { question: 3 } });
  });

  it('holds a conflict until a person chooses, and sends the own value again only then', async () => {
    const conflict = { field: 'history', yours: 'mine', theirs: 'hers', by: 'A colleague' };
    const { sent, queue } = makeQueue([saved(7, { conflicts: [conflict] }), saved(8)]);
    queue.set({ history: 'mine' });
    await queue.flush();
    expect(queue.read().conflicts).toEqual([conflict]);
    expect(sent).toHaveLength(1);
    queue.resolve('history', 'yours');
    await queue.flush();
    expect(sent[1]).toEqual({ base: 3, bases: { history: 7 }, fields: { history: 'mine' } });
    expect(queue.read().conflicts).toEqual([]);
  });

  it("sends nothing when the other's value is taken", async () => {
    const conflict = { field: 'history', yours: 'mine', theirs: 'hers', by: 'A colleague' };
    const { sent, queue } = makeQueue([saved(7, { conflicts: [conflict] })]);
    queue.set({ history: 'mine' });
    await queue.flush();
    queue.resolve('history', 'theirs');
    await queue.flush();
    expect(sent).toHaveLength(1);
  });
});

describe('a conflict while one types on', () => {
  const conflict = { field: 'history', yours: 'mine', theirs: 'hers', by: 'A colleague' };

  it('keeps the own text in the field, sends none of it, and sends the newest when it is chosen', async () => {
    const { sent, queue } = makeQueue([saved(7, { conflicts: [conflict] }), saved(8), saved(9)]);
    queue.set({ history: 'mine' });
    await queue.flush();
    queue.set({ history: 'mine, and more', question: 'Another field?' });
    expect(queue.read().own).toMatchObject({ history: 'mine, and more' });
    await queue.flush();
    expect(sent[1]?.fields).toEqual({ question: 'Another field?' });
    expect(queue.read().conflicts).toMatchObject([{ yours: 'mine, and more', theirs: 'hers' }]);
    queue.resolve('history', 'yours');
    await queue.flush();
    expect(sent[2]?.fields).toEqual({ history: 'mine, and more' });
  });

  it('takes what was typed while the patch was under way into the conflict, not over the other value', async () => {
    const { sent, queue } = makeQueue([saved(7, { conflicts: [conflict] })]);
    queue.set({ history: 'mine' });
    const going = queue.flush();
    queue.set({ history: 'mine, typed on' });
    await going;
    expect(sent).toHaveLength(1);
    expect(queue.read().conflicts).toMatchObject([{ yours: 'mine, typed on' }]);
  });

  it('does not move its base under a waiting conflict, so that a still newer value of theirs conflicts again', async () => {
    const { sent, queue } = makeQueue([saved(7, { conflicts: [conflict] }), saved(12)]);
    queue.set({ history: 'mine' });
    await queue.flush();
    queue.seen(11);
    queue.resolve('history', 'yours');
    await queue.flush();
    expect(sent[1]).toMatchObject({ base: 11, bases: { history: 7 } });
  });
});

describe('a line that is cut', () => {
  it('is tried again by itself, each time a little later, and only when trying again can help', async () => {
    const waits: number[] = [];
    let retry = true;
    const queue = new PatchQueue(1, async () => Promise.reject(new Error('offline')), {
      later: (_run, ms) => {
        waits.push(ms);
        return () => undefined;
      },
      delayMs: 7,
      mayRetry: () => retry,
    });
    queue.set({ question: 'kept' });
    await queue.flush();
    await queue.flush();
    expect(waits).toEqual([7, 2000, 4000]);
    retry = false;
    await queue.flush();
    expect(waits).toHaveLength(3);
    expect(queue.read()).toMatchObject({ state: 'failed', own: { question: 'kept' } });
  });
});

describe('settling before something is signed', () => {
  it('waits for a patch under way and for what was typed meanwhile, and gives the revision that stands', async () => {
    const sent: Record<string, unknown>[] = [];
    let revision = 4;
    let open: (() => void) | null = null;
    const queue = new PatchQueue(4, async (patch) => {
      sent.push(patch.fields);
      if (sent.length === 1) await new Promise<void>((resolve) => (open = resolve));
      revision += 1;
      return { revision, applied: Object.keys(patch.fields), conflicts: [], stands: {} };
    });
    queue.set({ conclusion: 'first' });
    const first = queue.flush();
    queue.set({ conclusion: 'last words' });
    const settled = queue.settle();
    (open as unknown as () => void)();
    await first;
    expect(await settled).toBe(6);
    expect(sent.at(-1)).toEqual({ conclusion: 'last words' });
  });

  it('refuses while a patch fails or a conflict waits', async () => {
    const failing = new PatchQueue(1, async () => Promise.reject(new Error('offline')), {
      sentenceOf: () => 'Not reached.',
    });
    failing.set({ conclusion: 'x' });
    await expect(failing.settle()).rejects.toThrow('Not reached.');
    const torn = new PatchQueue(1, async () => ({
      revision: 2,
      applied: [],
      conflicts: [{ field: 'conclusion', yours: 'a', theirs: 'b', by: 'Somebody' }],
      stands: {},
    }));
    torn.set({ conclusion: 'a' });
    await expect(torn.settle()).rejects.toThrow(/choose first/);
  });

  it('keeps what is typed on in a conflict that is met while its own reply is on the way', async () => {
    let answer: (reply: PatchReply) => void = () => undefined;
    const retyped: unknown[] = [];
    const queue = new PatchQueue(3, () => new Promise((resolve) => (answer = resolve)), {
      later: never,
      onRetyped: (_field, yours) => retyped.push(yours),
    });
    queue.set({ history: 'mine' });
    const going = queue.flush();
    const conflict = { field: 'history', yours: 'mine', theirs: 'theirs', by: 'B' };
    queue.adopt(conflict, 5);
    queue.set({ history: 'mine, and more' });
    expect(queue.read().own).toEqual({ history: 'mine, and more' });
    answer(saved(5, { conflicts: [conflict] }));
    await going;
    expect(queue.read().conflicts).toEqual([{ ...conflict, yours: 'mine, and more' }]);
    expect(retyped).toEqual(['mine, and more']);
  });

  it('sends nothing of a field whose conflict arose behind its back, until somebody has chosen', async () => {
    const { sent, queue } = makeQueue([saved(9), saved(10)]);
    queue.adopt({ field: 'history', yours: 'mine', theirs: 'theirs', by: 'B' }, 8);
    queue.set({ history: 'mine, and more', question: 'Is it large?' });
    await queue.flush();
    expect(sent).toEqual([{ base: 3, bases: {}, fields: { question: 'Is it large?' } }]);
    queue.resolve('history', 'yours');
    await queue.flush();
    expect(sent[1]).toMatchObject({ bases: { history: 8 }, fields: { history: 'mine, and more' } });
  });
});
