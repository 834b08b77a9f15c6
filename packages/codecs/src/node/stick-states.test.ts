import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sampleFile, sampleFrame } from './sample-file';
import { sampleZip } from './sample-zip';
import { unpack } from './unpack';

/**
 * The states in which the directory of a stick is met (STANDARDS section 7, measured on open samples): whatever it is like,
 * the pictures are found by walking all files, and only what it names and is not there is told from it.
 */
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'chordae-stick-'));
});
afterEach(() => rmSync(folder, { recursive: true }));

interface Coding {
  readonly explicit: boolean;
  readonly little: boolean;
}
const usual: Coding = { explicit: true, little: true };

function bytesOf(size: 2 | 4, value: number, { little }: Coding): Buffer {
  const out = Buffer.alloc(size);
  if (size === 2) out[little ? 'writeUInt16LE' : 'writeUInt16BE'](value);
  else out[little ? 'writeUInt32LE' : 'writeUInt32BE'](value);
  return out;
}

function element(tag: number, vr: string, value: Buffer, coding: Coding): Buffer {
  const head = [bytesOf(2, tag >>> 16, coding), bytesOf(2, tag & 0xffff, coding)];
  if (!coding.explicit) return Buffer.concat([...head, bytesOf(4, value.length, coding), value]);
  const length =
    vr === 'SQ'
      ? [Buffer.from('SQ\0\0'), bytesOf(4, value.length, coding)]
      : [Buffer.from(vr), bytesOf(2, value.length, coding)];
  return Buffer.concat([...head, ...length, value]);
}

const text = (value: string, padding = ' '): Buffer =>
  Buffer.from(value.length % 2 === 0 ? value : value + padding, 'latin1');

interface Kept {
  readonly kind: string;
  readonly file?: string;
}

interface State {
  readonly coding?: Coding;
  readonly syntax?: string;
  /** Value of the offsets to the next and the lower record; null leaves them out. */
  readonly offset?: number | null;
}

/** A directory with these records in this order. */
function directory(records: readonly Kept[], { coding = usual, syntax, offset = 0 }: State = {}): Buffer {
  const items = records.map(({ kind, file }) => {
    const body = Buffer.concat([
      ...(offset === null ? [] : [element(0x00041400, 'UL', bytesOf(4, offset, coding), coding)]),
      element(0x00041410, 'US', bytesOf(2, 0xffff, coding), coding),
      ...(offset === null ? [] : [element(0x00041420, 'UL', bytesOf(4, offset, coding), coding)]),
      element(0x00041430, 'CS', text(kind), coding),
      ...(file === undefined ? [] : [element(0x00041500, 'CS', text(file), coding)]),
    ]);
    return Buffer.concat([
      bytesOf(2, 0xfffe, coding),
      bytesOf(2, 0xe000, coding),
      bytesOf(4, body.length, coding),
      body,
    ]);
  });
  const meta = Buffer.concat([
    element(0x00020002, 'UI', text('1.2.840.10008.1.3.10', '\0'), usual),
    element(0x00020010, 'UI', text(syntax ?? '1.2.840.10008.1.2.1', '\0'), usual),
  ]);
  const preamble = Buffer.alloc(132);
  preamble.write('DICM', 128);
  return Buffer.concat([
    preamble,
    element(0x00020000, 'UL', bytesOf(4, meta.length, usual), usual),
    meta,
    element(0x00041130, 'CS', text('STICK'), coding),
    element(0x00041220, 'SQ', Buffer.concat(items), coding),
  ]);
}

const one = { kind: 'IMAGE', file: 'IMAGES\\IM000001' };
const two = { kind: 'IMAGE', file: 'IMAGES\\DEEP\\IM000002' };
const [patient, study, series] = ['PATIENT', 'STUDY', 'SERIES'].map((kind) => ({ kind })) as [
  Kept,
  Kept,
  Kept,
];
const tidy = [patient, study, series, one, two];

const clip = (n: number): Uint8Array => sampleFile({ coding: 'native', frames: [sampleFrame(n)] });

async function unpacked(directoryBytes: Uint8Array | null, lower = false) {
  const name = (path: string): string => (lower ? path.toLowerCase() : path);
  writeFileSync(
    join(folder, 'archive'),
    sampleZip([
      ...(directoryBytes === null ? [] : [{ name: name('DICOMDIR'), bytes: directoryBytes }]),
      { name: name('IMAGES/IM000001'), bytes: clip(1) },
      { name: name('IMAGES/DEEP/IM000002'), bytes: clip(2) },
      { name: 'autorun.inf', bytes: Buffer.from('[autorun]\nopen=show.exe') },
      { name: 'SHOW.EXE', bytes: Buffer.from('MZ not run') },
    ]),
  );
  const into = mkdtempSync(join(folder, 'into-'));
  const result = await unpack({ originalPath: join(folder, 'archive'), folder: into, mostBytes: 1e9 });
  if (!result.ok) throw new Error(result.problem.code);
  const { members, missing, left } = result.value;
  return {
    names: members.map((member) => member.name.toUpperCase()),
    missing,
    directories: left.directories,
    other: left.other,
  };
}

const found = { names: ['IMAGES/IM000001', 'IMAGES/DEEP/IM000002'], directories: 1, other: 2 };

describe('a stick', () => {
  it.each<[string, Buffer]>([
    ['in order', directory(tidy)],
    ['out of order', directory([...tidy].reverse())],
    ['without patient', directory([study, series, one, two])],
    ['without offsets', directory(tidy, { offset: null })],
    ['with dead offsets', directory(tidy, { offset: 0x7fffffff })],
    [
      'in implicit VR',
      directory(tidy, { coding: { explicit: false, little: true }, syntax: '1.2.840.10008.1.2' }),
    ],
    [
      'in big endian',
      directory(tidy, { coding: { explicit: true, little: false }, syntax: '1.2.840.10008.1.2.2' }),
    ],
    ['with slashes', directory([patient, { ...one, file: 'IMAGES/IM000001' }, two])],
    ['that names one file twice', directory([...tidy, one])],
    ['without records', directory([])],
  ])('gives all its pictures with a directory %s', async (_state, bytes) => {
    expect(await unpacked(bytes)).toEqual({ ...found, missing: 0 });
  });

  it('may have its files in small letters', async () => {
    expect(await unpacked(directory(tidy), true)).toEqual({ ...found, missing: 0 });
  });

  it('needs no directory', async () => {
    expect(await unpacked(null)).toEqual({ ...found, directories: 0, missing: 0 });
  });

  it('says how many files its directory names that are not there, and follows no way out', async () => {
    const more = [
      ...tidy,
      { kind: 'IMAGE', file: 'IMAGES\\IM000009' },
      { kind: 'SR DOCUMENT', file: '..\\..\\ETC\\HOSTS' },
    ];
    expect(await unpacked(directory(more))).toEqual({ ...found, missing: 2 });
  });

  it('keeps its pictures when the directory is cut', async () => {
    const whole = directory(tidy);
    for (const length of [whole.length - 3, whole.length - 60, 260])
      expect(await unpacked(whole.subarray(0, length))).toEqual({ ...found, missing: 0 });
  });
});
