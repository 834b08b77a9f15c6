import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { activeGuards } from './guards';
import { readOriginalInChild } from './run-in-child';
import { sampleFile, sampleFrame } from './sample-file';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'child-'));
  await writeFile(
    join(folder, 'a.dcm'),
    sampleFile({ coding: 'native', frames: [sampleFrame(0), sampleFrame(1)] }),
  );
});
afterAll(() => rm(folder, { recursive: true }));

const loader = { nodeArguments: ['--import', 'tsx'] };

/** A stand-in for the decoder entry that misbehaves in one way. */
async function badEntry(name: string, code: string): Promise<string> {
  const path = join(folder, `${name}.mjs`);
  await writeFile(path, code);
  return path;
}

describe('the decoder process', () => {
  const request = () => ({
    kind: 'make-packs' as const,
    originalPath: join(folder, 'a.dcm'),
    ownPath: join(folder, 'a.own'),
    outgoingPath: join(folder, 'a.out'),
    keep: 'auto' as const,
  });

  it('writes packs and tells when the own pack stands', async () => {
    let ownBytes = 0;
    const made = await readOriginalInChild(request(), { ...loader, onOwn: (own) => (ownBytes = own.bytes) });
    expect(made).toMatchObject({ ok: true, value: { mask: 'regions', description: { frameCount: 2 } } });
    expect((await readFile(join(folder, 'a.own'))).length).toBe(ownBytes);
  });

  it('gives an exact frame as PNG', async () => {
    const exact = await readOriginalInChild(
      { kind: 'exact-frame', originalPath: join(folder, 'a.dcm'), frame: 1, keep: 'own' },
      loader,
    );
    expect(exact.ok && Array.from(exact.value.png.subarray(1, 4))).toEqual([0x50, 0x4e, 0x47]);
  });

  it('answers with a problem when the original is gone', async () => {
    const gone = await readOriginalInChild({ ...request(), originalPath: join(folder, 'none') }, loader);
    expect(gone).toEqual({ ok: false, problem: { code: 'ORIGINAL_NOT_THERE', data: {} } });
  });

  it('is killed at the end of its time', async () => {
    const entry = await badEntry('hang', 'process.on("message", () => { for (;;); });');
    expect(await readOriginalInChild(request(), { entry, limits: { wallMs: 500 } })).toMatchObject({
      problem: { code: 'DECODER_TIMED_OUT' },
    });
  });

  it('is stopped when its heap or its memory outside the heap runs over', async () => {
    const heap = await badEntry(
      'heap',
      'process.on("message", () => { const a = []; for (;;) a.push(new Array(1e5).fill(a.length)); });',
    );
    expect(
      await readOriginalInChild(request(), { entry: heap, limits: { heapMb: 64, wallMs: 20_000 } }),
    ).toMatchObject({ problem: { code: 'DECODER_OUT_OF_MEMORY' } });
    if (!activeGuards().residentMemory) return;
    const buffers = await badEntry(
      'buffers',
      'const a = []; process.on("message", () => setInterval(() => a.push(Buffer.alloc(2e7, 1)), 10));',
    );
    expect(
      await readOriginalInChild(request(), { entry: buffers, limits: { rssMb: 250, wallMs: 20_000 } }),
    ).toMatchObject({ problem: { code: 'DECODER_OUT_OF_MEMORY' } });
  }, 45_000);

  it('that dies is reported as DECODER_CRASHED', async () => {
    const entry = await badEntry('crash', 'process.on("message", () => process.abort());');
    expect(await readOriginalInChild(request(), { entry })).toMatchObject({
      problem: { code: 'DECODER_CRASHED' },
    });
  });

  it('sees nothing of the parent environment, and no network where that is promised', async () => {
    process.env['CHORDAE_TEST_SECRET'] = 'hidden';
    const entry = await badEntry(
      'look',
      `import { networkInterfaces } from 'node:os';
       process.once('message', () => process.send({ kind: 'result', result: { ok: true, value: { secret: process.env.CHORDAE_TEST_SECRET ?? null, cards: Object.keys(networkInterfaces()).length } } }, undefined, undefined, () => process.exit(0)));`,
    );
    const seen = (await readOriginalInChild(request(), { entry })) as unknown as {
      value: { secret: string | null; cards: number };
    };
    delete process.env['CHORDAE_TEST_SECRET'];
    expect(seen.value.secret).toBeNull();
    if (activeGuards().noNetwork) expect(seen.value.cards).toBe(0);
  });
});
