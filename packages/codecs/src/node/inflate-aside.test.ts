import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { deflateRawSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { openOriginal } from './original';
import { sampleFile, sampleFrame, sampleHeight, sampleWidth } from './sample-file';

const folder = mkdtempSync(path.join(tmpdir(), 'chordae-aside-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** The sample file with its data set deflated (PS3.5 A.5): the group of the meta header stays as it is. */
function deflated(frames: number): Uint8Array {
  const plain = sampleFile({
    coding: 'native',
    frames: Array.from({ length: frames }, (_, n) => sampleFrame(n)),
  });
  const view = new DataView(plain.buffer);
  // Preamble and prefix, then (0002,0000) whose value is the length of the rest of the group.
  const metaEnd = 132 + 12 + view.getUint32(140, true);
  const explicit = Buffer.from(plain.subarray(0, metaEnd)).toString('latin1');
  const at = explicit.indexOf('1.2.840.10008.1.2.1\0');
  if (at < 0) throw new Error('no transfer syntax');
  // '…1.2.1\0' becomes '…1.2.1.99' and a zero: two bytes more in the element and the group.
  const meta = Buffer.from(
    `${explicit.slice(0, at)}1.2.840.10008.1.2.1.99${explicit.slice(at + 20)}`,
    'latin1',
  );
  meta.writeUInt16LE(22, at - 2);
  meta.writeUInt32LE(view.getUint32(140, true) + 2, 140);
  return Buffer.concat([meta, deflateRawSync(plain.subarray(metaEnd), { level: 0 })]);
}

describe('a large deflated file', () => {
  it('is inflated aside and read by range, and leaves nothing behind', async () => {
    // Not packed at all, so that it is above what is held.
    const frames = 3500;
    const file = path.join(folder, 'deflated.dcm');
    writeFileSync(file, deflated(frames));
    const before = readdirSync(tmpdir()).filter((name) => name.startsWith(`chordae-inflated-${process.pid}`));
    const opened = await openOriginal(file);
    if (!opened.ok) throw new Error(opened.problem.code);
    expect(opened.value.description).toMatchObject({
      frameCount: frames,
      widthPx: sampleWidth,
      heightPx: sampleHeight,
    });
    for (const n of [0, 1234, frames - 1]) {
      const picture = await opened.value.picture(n);
      expect(picture.ok && picture.value.pixels).toEqual(sampleFrame(n));
    }
    await opened.value.close();
    const after = readdirSync(tmpdir()).filter((name) => name.startsWith(`chordae-inflated-${process.pid}`));
    expect(after).toEqual(before);
  });

  it('is refused when it is damaged or cut', async () => {
    const whole = deflated(3500);
    const damaged = whole.slice();
    damaged.fill(0xff, 5_000_000, 5_200_000);
    for (const bytes of [whole.subarray(0, whole.length - 100_000), damaged]) {
      writeFileSync(path.join(folder, 'broken.dcm'), bytes);
      expect(await openOriginal(path.join(folder, 'broken.dcm'))).toMatchObject({
        ok: false,
        problem: { code: 'DICOM_DAMAGED' },
      });
    }
  });
});
