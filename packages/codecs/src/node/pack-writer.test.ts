import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PackStream } from '../pack/pack-stream';
import { OutputTooLarge, openPackWriter } from './pack-writer';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'pack-writer-'));
});
afterAll(() => rm(folder, { recursive: true }));

const shape = (frameCount: number) => ({ widthPx: 4, heightPx: 4, frameTimesMs: null, frameCount });
const frame = (number: number, size: number): Uint8Array => new Uint8Array(size).fill(number & 255);

async function written(frames: readonly Uint8Array[]) {
  const path = join(folder, `pack-${frames.length}`);
  const writer = await openPackWriter(path, shape(frames.length), 1e9);
  for (const bytes of frames) await writer.add(bytes, 'jpeg');
  const pack = await writer.finish();
  const bytes = await readFile(path);
  const stream = new PackStream();
  const events = [...stream.push(new Uint8Array(bytes)), ...stream.end()];
  const read = events.flatMap((event) => (event.kind === 'frame' ? [event.bytes] : []));
  return { pack, read, sha256: createHash('sha256').update(bytes).digest('hex'), size: bytes.length };
}

describe('a pack', () => {
  it.each([
    ['small enough to be written in one piece', 3, 1000],
    ['of more frames than one call of the system takes', 2500, 10],
    ['too large to be held', 9, 2_500_000],
  ])('%s reads back as it was, under its own hash', async (_name, count, size) => {
    const frames = Array.from({ length: count }, (_, n) => frame(n, size + n));
    const made = await written(frames);
    expect(made.pack).toEqual({ bytes: made.size, sha256: made.sha256 });
    expect(made.read.length).toBe(count);
    expect(made.read.every((bytes, n) => Buffer.compare(bytes, frames[n] as Uint8Array) === 0)).toBe(true);
  });

  it('larger than the limit, or given up, leaves no file behind', async () => {
    const path = join(folder, 'given-up');
    const writer = await openPackWriter(path, shape(2), 1000);
    await writer.add(frame(1, 800), 'jpeg');
    await expect(writer.add(frame(2, 800), 'jpeg')).rejects.toBeInstanceOf(OutputTooLarge);
    await writer.abandon();
    expect([existsSync(path), existsSync(`${path}.part`)]).toEqual([false, false]);
  });
});
