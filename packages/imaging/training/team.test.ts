import { seededRandom } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { courses } from './courses';
import { patchBytes } from './samples';
import { shared } from './shard';
import { makeTeam } from './team';

/** Gradients of two steps of one batch of noise. */
async function gradients(threads: number): Promise<Float64Array> {
  const random = seededRandom(8);
  const patches = Uint8Array.from({ length: 32 * patchBytes }, () => Math.floor(256 * random()));
  const labels = Array.from({ length: 32 }, (_, n) => [n, 0.01 * n, 0.3]);
  const common = shared(courses.tilt, [{ patches, labels }]);
  common.numbers.set(courses.tilt.first(random));
  common.batch.set(Int32Array.from({ length: 32 }, (_, n) => 31 - n));
  const team = await makeTeam('tilt', common, threads);
  team.work(0);
  team.work(1);
  await team.end();
  return Float64Array.from(common.gradients);
}

describe('a training on several cores', () => {
  it('finds the same gradients to the last bit as on one', async () => {
    const [one, three] = [await gradients(1), await gradients(3)];
    expect(one.some((value) => value !== 0)).toBe(true);
    expect(Buffer.from(three.buffer).equals(Buffer.from(one.buffer))).toBe(true);
  }, 60_000);
});
