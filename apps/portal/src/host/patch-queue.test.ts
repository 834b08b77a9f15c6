import type { PatchReply } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { PatchQueue } from './patch-queue';

type Patch = { base: number; fields: Record<string, unknown> };
const saved = (revision: number, part: Partial<PatchReply> = {}): PatchReply => ({
  revision,
  applied: [],
  conflicts: [],
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
      { base: 3, fields: { question: 'Is it large?' } },
      { base: 4, fields: { history: 'Coughs.' } },
    ]);
    expect(queue.read()).toMatchObject({ state: 'saved', own: {} });
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
    expect(sent[1]).toEqual({ base: 3, fields: { question: 'newer', history: 'b' } });
    expect(queue.read()).toMatchObject({ state: 'saved', problem: null });
  });

  it('does not move its base under unsaved typing', async () => {
    const { sent, queue } = makeQueue([saved(9)]);
    queue.set({ question: 'typed on revision 3' });
    queue.seen(8);
    await queue.flush();
    expect(sent[0]?.base).toBe(3);
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
    expect(sent[1]).toEqual({ base: 7, fields: { history: 'mine' } });
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

describe('settling before something is signed', () => {
  it('waits for a patch under way and for what was typed meanwhile, and gives the revision that stands', async () => {
    const sent: Record<string, unknown>[] = [];
    let revision = 4;
    let open: (() => void) | null = null;
    const queue = new PatchQueue(4, async (patch) => {
      sent.push(patch.fields);
      if (sent.length === 1) await new Promise<void>((resolve) => (open = resolve));
      revision += 1;
      return { revision, applied: Object.keys(patch.fields), conflicts: [] };
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
    }));
    torn.set({ conclusion: 'a' });
    await expect(torn.settle()).rejects.toThrow(/choose first/);
  });
});
