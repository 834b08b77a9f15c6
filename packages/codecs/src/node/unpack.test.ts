import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writePart10 } from '@chordae/dicom';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openOriginal } from './original';
import { sampleFile, sampleFrame } from './sample-file';
import type { SampleMember } from './sample-zip';
import { sampleZip } from './sample-zip';
import { unpack } from './unpack';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'chordae-unpack-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

const clip = (number: number): Uint8Array => sampleFile({ coding: 'native', frames: [sampleFrame(number)] });
const text = (words: string): Uint8Array => Buffer.from(words);

function directory(...names: string[]): Uint8Array {
  const records = names.map((name) => [
    { tag: '00041430', vr: 'CS', value: 'IMAGE' },
    { tag: '00041500', vr: 'CS', value: name },
  ]);
  return writePart10(
    [
      { tag: '00080016', vr: 'UI', value: '1.2.840.10008.1.3.10' },
      { tag: '00080018', vr: 'UI', value: '2.25.9' },
      { tag: '00041220', vr: 'SQ', value: records },
    ],
    null,
  );
}

async function unpacked(bytes: Uint8Array, mostBytes = 1e9) {
  writeFileSync(join(folder, 'archive'), bytes);
  return unpack({ originalPath: join(folder, 'archive'), folder, mostBytes });
}

describe('an archive', () => {
  it('gives its pictures and films by content, whatever they are called, and leaves the rest packed', async () => {
    const members: SampleMember[] = [
      { name: 'STICK/IMAGES/IM000001', bytes: clip(1) },
      { name: 'STICK/IMAGES/holiday.exe', bytes: clip(2), stored: true },
      { name: 'STICK/autorun.inf', bytes: text('[autorun] open=viewer.exe') },
      { name: 'STICK/picture.dcm', bytes: text('not what it is called') },
      { name: 'STICK/more.zip', bytes: sampleZip([{ name: 'a', bytes: clip(3) }]) },
      { name: 'STICK/DICOMDIR', bytes: directory('IMAGES\\IM000001', 'IMAGES\\IM000007') },
    ];
    const result = await unpacked(sampleZip(members));
    if (!result.ok) throw new Error(result.problem.code);
    expect(result.value.members.map((member) => member.name)).toEqual([
      'STICK/IMAGES/IM000001',
      'STICK/IMAGES/holiday.exe',
    ]);
    expect(result.value.left).toMatchObject({ other: 2, archives: 1, directories: 1, damaged: 0, unsafe: 0 });
    expect(result.value.missing).toBe(1);
    for (const [n, member] of result.value.members.entries())
      expect(Buffer.compare(readFileSync(member.path), members[n]?.bytes ?? new Uint8Array())).toBe(0);
  });

  it('writes nothing outside its folder, whatever paths the archive asks for', async () => {
    const names = ['../../out.dcm', '/abs.dcm', 'C:\\windows\\x.dcm', 'a/../../b.dcm', '..\\c.dcm'];
    const result = await unpacked(sampleZip(names.map((name) => ({ name, bytes: clip(1) }))));
    expect(result).toMatchObject({ ok: true, value: { members: [], left: { unsafe: names.length } } });
    expect(readdirSync(folder)).toEqual(['archive']);
  });

  it('leaves locked, linked and damaged members, and says so', async () => {
    const result = await unpacked(
      sampleZip([
        { name: 'locked', bytes: clip(1), locked: true },
        { name: 'link', bytes: text('/etc/passwd'), mode: 0o120777 },
        { name: 'sum', bytes: clip(2), crc32: 1 },
        { name: 'longer', bytes: clip(3), sizeBytes: clip(3).length - 5 },
      ]),
    );
    expect(result).toMatchObject({
      ok: true,
      value: { members: [], left: { locked: 1, unreadable: 1, damaged: 2 } },
    });
    expect(readdirSync(folder)).toEqual(['archive']);
  });

  it('is refused when it is a bomb: denser than deflate can be, overlapping, or larger than allowed', async () => {
    const bytes = new Uint8Array(2_000_000);
    bytes.set(clip(1));
    expect(await unpacked(sampleZip([{ name: 'a', bytes, sizeBytes: 4_000_000_000 }]))).toMatchObject({
      problem: { code: 'ARCHIVE_DAMAGED' },
    });
    expect(await unpacked(sampleZip([{ name: 'a', bytes }]), 1_000_000)).toMatchObject({
      problem: { code: 'OUTPUT_TOO_LARGE' },
    });
    const twice = Buffer.from(
      sampleZip([
        { name: 'a', bytes: clip(1) },
        { name: 'b', bytes: clip(1) },
      ]),
    );
    // The second entry of the directory points at the first one's data.
    const second = twice.lastIndexOf(Buffer.from([0x50, 0x4b, 1, 2]));
    twice.writeUInt32LE(0, second + 42);
    expect(await unpacked(twice)).toMatchObject({ problem: { code: 'ARCHIVE_DAMAGED' } });
  });

  it('is refused when it is cut anywhere', async () => {
    const whole = sampleZip([{ name: 'a', bytes: clip(1) }]);
    for (let length = 60; length < whole.length; length += 37)
      expect((await unpacked(whole.subarray(0, length))).ok).toBe(false);
  });

  it('is told from a picture when somebody opens it as one', async () => {
    writeFileSync(join(folder, 'archive'), sampleZip([{ name: 'a', bytes: clip(1) }]));
    expect(await openOriginal(join(folder, 'archive'))).toEqual({
      ok: false,
      problem: { code: 'ARCHIVE_TO_UNPACK', data: {} },
    });
  });
});
