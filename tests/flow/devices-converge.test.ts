import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mergePatch } from '../../apps/api/src/features/cases/field-patch';
import { memoryStore } from '../../apps/portal/src/host/device/memory-store';
import { Outbox } from '../../apps/portal/src/host/device/outbox';
import { type Patch, PatchQueue } from '../../apps/portal/src/host/patch-queue';
import { ApiError } from '../../apps/portal/src/host/route-fetch';

/**
 * Several devices on one draft, with the server's own merge. Whatever is typed where, with or without a line, and
 * whatever replies are lost, all end with the same draft, and no text is gone that its writer's successor never saw.
 */
const FIELDS = ['question', 'history'] as const;
type Field = (typeof FIELDS)[number];
const ROW = 'referral:r';

/** The server: one row under the real merge, and a note of what each accepted text had been put over. */
function makeServer() {
  const row = {
    revision: 1,
    values: { question: '', history: '' } as Record<string, unknown>,
    fieldRevisions: {} as Parameters<typeof mergePatch>[0]['fieldRevisions'],
  };
  const replaced: { field: Field; old: string; by: string; device: string }[] = [];
  return {
    row,
    replaced,
    patch(patch: Patch, device: string) {
      const merged = mergePatch(row, patch, device);
      for (const [field, value] of Object.entries(merged.accepted))
        replaced.push({
          field: field as Field,
          old: String(row.values[field]),
          by: String(value),
          device,
        });
      Object.assign(row.values, merged.accepted);
      row.revision = merged.revision;
      row.fieldRevisions = merged.fieldRevisions;
      return {
        revision: merged.revision,
        applied: Object.keys(merged.accepted),
        conflicts: structuredClone(merged.conflicts),
        stands: merged.stands,
      };
    },
  };
}
type Server = ReturnType<typeof makeServer>;

/** One device: a page with its autosave, over an outbox that outlives it. */
class DeviceUnderTest {
  line = true;
  loseReplies = 0;
  private readonly store = memoryStore();
  private outbox!: Outbox;
  private queue!: PatchQueue;
  /** What the page shows as the server's: read when there is a line, with waiting texts on top. */
  private kept = { revision: 1, values: { question: '', history: '' } as Record<string, unknown> };
  /** Per field, every text that its person has had before their eyes. */
  readonly saw: Record<Field, Set<string>> = { question: new Set(['']), history: new Set(['']) };
  /** Own texts met by a conflict, and so shown to their writer. */
  readonly shownAsConflict = new Set<string>();
  readonly typed: { field: Field; text: string; saw: ReadonlySet<string> }[] = [];

  constructor(
    readonly name: string,
    private readonly server: Server,
  ) {
    this.openPage();
  }

  openPage(): void {
    this.outbox = new Outbox({
      store: this.store,
      send: async (_op, body) => {
        if (!this.line) throw new ApiError('NO_NETWORK', 'no line');
        const reply = this.server.patch(body as Patch, this.name);
        if (this.loseReplies > 0) {
          this.loseReplies -= 1;
          throw new ApiError('NO_NETWORK', 'the reply was lost');
        }
        return reply;
      },
      whoAmI: async () => this.name,
      alone: (work) => work(),
      later: () => () => undefined,
      mayTry: () => this.line,
      taken: async (op) => {
        // As the kept replies do: a text that was sent stays in sight.
        Object.assign(this.kept.values, (op.body as Patch).fields);
      },
    });
    this.outbox.setMember(this.name, true);
    let made = 0;
    this.queue = new PatchQueue(
      this.kept.revision,
      (patch) => {
        made += 1;
        return this.outbox.write(
          {
            id: `${this.name}-${this.typed.length}-${made}`,
            memberId: this.name,
            practiceId: 'p',
            route: 'patchReferral',
            params: {},
            body: structuredClone(patch),
            keys: [],
            needs: [],
            row: ROW,
            about: '',
            saidAt: '',
            needsPassword: false,
          },
          (op) => ({
            revision: (op.body as Patch).base,
            applied: [],
            conflicts: [],
            stands: {},
          }),
        ) as ReturnType<ConstructorParameters<typeof PatchQueue>[1]>;
      },
      {
        later: () => () => undefined,
        onChosen: (field) => void this.outbox.settle(ROW, field),
        onRetyped: (field, yours) => void this.outbox.retype(ROW, field, yours),
      },
    );
  }

  /** The page is killed and opened again from what the device keeps. */
  async kill(): Promise<void> {
    await this.settle();
    this.openPage();
    await this.outbox.reload();
    await this.look();
  }

  /** Everything that runs has run. */
  async settle(): Promise<void> {
    await this.queue.flush();
    this.outbox.kick();
    await this.outbox.rest();
    this.adopt();
  }

  private adopt(): void {
    for (const c of this.outbox.conflicts()) this.queue.adopt(c, c.revision);
    for (const c of this.queue.read().conflicts) {
      this.shownAsConflict.add(`${c.field}=${String(c.yours)}`);
      this.saw[c.field as Field].add(String(c.theirs));
    }
  }

  /** Reads the case again, if there is a line, and looks at it. */
  async look(): Promise<void> {
    if (this.line) {
      this.kept = { revision: this.server.row.revision, values: { ...this.server.row.values } };
    }
    this.queue.seen(this.kept.revision);
    this.adopt();
    const waiting = (await this.store.ops()).map((o) => (o.body as Patch).fields);
    const shown = Object.assign({}, this.kept.values, ...waiting, this.queue.read().own);
    for (const field of FIELDS) this.saw[field].add(String(shown[field]));
  }

  async type(field: Field, text: string): Promise<void> {
    await this.look();
    this.typed.push({ field, text, saw: new Set(this.saw[field]) });
    this.saw[field].add(text);
    this.queue.set({ [field]: text });
    await this.settle();
  }

  async choose(keep: 'yours' | 'theirs'): Promise<boolean> {
    this.adopt();
    const conflict = this.queue.read().conflicts[0];
    if (!conflict) return false;
    if (keep === 'yours') {
      const text = String(conflict.yours);
      this.typed.push({
        field: conflict.field as Field,
        text,
        saw: new Set(this.saw[conflict.field as Field]),
      });
    }
    this.queue.resolve(conflict.field, keep);
    await this.settle();
    return true;
  }

  async waits(): Promise<number> {
    return (await this.store.ops()).length + this.queue.read().conflicts.length;
  }
  read(): unknown {
    return this.kept.values;
  }
}

const step = fc.record({
  device: fc.nat(2),
  what: fc.oneof(
    { weight: 6, arbitrary: fc.constant('type' as const) },
    { weight: 2, arbitrary: fc.constant('cut' as const) },
    { weight: 2, arbitrary: fc.constant('back' as const) },
    { weight: 2, arbitrary: fc.constant('look' as const) },
    { weight: 2, arbitrary: fc.constant('lose' as const) },
    { weight: 1, arbitrary: fc.constant('kill' as const) },
    { weight: 2, arbitrary: fc.constant('yours' as const) },
    { weight: 1, arbitrary: fc.constant('theirs' as const) },
  ),
  field: fc.constantFrom(...FIELDS),
  /** A small number of texts, so that two people sometimes type the same. */
  again: fc.boolean(),
});

async function play(steps: readonly Step[]) {
  const server = makeServer();
  const devices = ['a', 'b', 'c'].map((name) => new DeviceUnderTest(name, server));
  let n = 0;
  for (const s of steps) {
    const device = devices[s.device] as DeviceUnderTest;
    n += 1;
    if (s.what === 'type') await device.type(s.field, s.again ? 'as discussed' : `text ${n}`);
    else if (s.what === 'cut') device.line = false;
    else if (s.what === 'back') {
      device.line = true;
      await device.settle();
    } else if (s.what === 'look') await device.look();
    else if (s.what === 'lose') device.loseReplies = 1;
    else if (s.what === 'kill') await device.kill();
    else await device.choose(s.what);
  }
  // The line is back for all; what is in conflict is chosen until nothing waits.
  for (let round = 0; round < 40; round += 1) {
    let left = 0;
    for (const device of devices) {
      device.line = true;
      device.loseReplies = 0;
      await device.settle();
      await device.choose(round % 2 === 0 ? 'yours' : 'theirs');
      left += await device.waits();
    }
    if (left === 0) break;
  }
  for (const device of devices) await device.look();
  return { server, devices };
}
interface Step {
  readonly device: number;
  readonly what: 'type' | 'cut' | 'back' | 'look' | 'lose' | 'kill' | 'yours' | 'theirs';
  readonly field: Field;
  readonly again: boolean;
}

/** What became of each typed text that the server ever took. */
function lostTexts({ server, devices }: Awaited<ReturnType<typeof play>>): string[] {
  const lost: string[] = [];
  for (const { field, old, by, device } of server.replaced) {
    if (old === '') continue;
    const writer = devices.find((d) => d.name === device) as DeviceUnderTest;
    const saw = writer.typed.filter((t) => t.field === field && t.text === by);
    if (!saw.some((t) => t.saw.has(old)))
      lost.push(`${device} put '${by}' over '${old}' in ${field} without having seen it`);
  }
  return lost;
}

/** Typed texts that neither reached the server nor were shown to their writer as a conflict, nor were typed over on the same device. */
function vanishedTexts({ server, devices }: Awaited<ReturnType<typeof play>>): string[] {
  const vanished: string[] = [];
  for (const device of devices) {
    device.typed.forEach(({ field, text }, at) => {
      const taken =
        server.row.values[field] === text ||
        server.replaced.some((r) => r.field === field && (r.by === text || r.old === text));
      const typedOver = device.typed.slice(at + 1).some((t) => t.field === field);
      if (!taken && !typedOver && !device.shownAsConflict.has(`${field}=${text}`))
        vanished.push(`'${text}' in ${field}`);
    });
  }
  return vanished;
}

describe('several devices on one draft', () => {
  it('end with one draft whatever happens to the line, and nothing is overwritten unseen or lost', async () => {
    let conflicts = 0;
    let replaced = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 4, maxLength: 40 }), async (steps) => {
        const end = await play(steps);
        for (const device of end.devices) {
          expect(await device.waits()).toBe(0);
          expect(device.read()).toEqual(end.server.row.values);
        }
        expect(lostTexts(end)).toEqual([]);
        expect(vanishedTexts(end)).toEqual([]);
        conflicts += end.devices.reduce((n, d) => n + d.shownAsConflict.size, 0);
        replaced += end.server.replaced.length;
      }),
      { numRuns: 400, seed: 20_261_126 },
    );
    // The property is not empty: texts did meet, and many were replaced by somebody who had seen them.
    expect(conflicts).toBeGreaterThan(100);
    expect(replaced).toBeGreaterThan(1000);
  });

  it('never set a person’s own text against itself: one device alone meets no conflict', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 4, maxLength: 40 }), async (steps) => {
        const end = await play(steps.map((s) => ({ ...s, device: 0 })));
        expect([...(end.devices[0] as DeviceUnderTest).shownAsConflict]).toEqual([]);
        const last = (field: Field) =>
          (end.devices[0] as DeviceUnderTest).typed.filter((t) => t.field === field).at(-1)?.text ?? '';
        expect(end.server.row.values).toEqual({ question: last('question'), history: last('history') });
      }),
      { numRuns: 300, seed: 7 },
    );
  });
});
