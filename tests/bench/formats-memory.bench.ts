/**
 * Peak memory of the decoder process by the size of the file, and how long the own pack takes: files of 0.05, 0.5 and 2 GB
 * are made here, read as the server reads them, and thrown away. `npm run build` first. The peak is the process's own
 * (VmHWM of /proc), so Linux only. CHORDAE_BENCH_MB names other sizes, such as 50,500.
 */
import { type ChildProcess, fork } from 'node:child_process';
import {
  closeSync,
  existsSync,
  mkdtempSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { createDeflateRaw } from 'node:zlib';
import sharp from 'sharp';
import { figure } from './figures';

const entry = path.resolve(import.meta.dirname, '../../dist/decoder-process.js');
if (!existsSync(entry) || !existsSync('/proc/self/status')) {
  process.stderr.write('formats-memory: needs `npm run build` and Linux: nothing is measured.\n');
  process.exit(0);
}
const sizesMb = (process.env['CHORDAE_BENCH_MB'] ?? '50,500,2000').split(',').map(Number);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-bench-'));
const [widthPx, heightPx] = [800, 600];
const at = (name: string): string => path.join(folder, name);

/** Speckle on black, another in each of sixteen frames: pictures that deflate and code as scans do. */
const pictures = Array.from({ length: 16 }, (_, n) => {
  let seed = 77 + n;
  return Uint8Array.from({ length: widthPx * heightPx }, (_p, place) => {
    const [x, y] = [place % widthPx, Math.floor(place / widthPx)];
    if (Math.abs(x - 400) > y * 0.7 || y < 40) return 0;
    seed = (seed * 1_103_515_245 + 12_345) & 0x7fffffff;
    return ((seed >> 16) & 63) + 40 + ((x * y + 31 * n) % 97);
  });
});

function element(tag: number, vr: string, value: Buffer | string): Buffer {
  const bytes = typeof value === 'string' ? Buffer.from(value.length % 2 === 0 ? value : `${value} `) : value;
  const head = Buffer.alloc(8);
  head.writeUInt16LE(tag >>> 16, 0);
  head.writeUInt16LE(tag & 0xffff, 2);
  head.write(vr, 4, 'latin1');
  head.writeUInt16LE(bytes.length, 6);
  return Buffer.concat([head, bytes]);
}
const word = (value: number): Buffer => Buffer.from([value & 255, value >> 8]);
const long = (value: number): Buffer => {
  const out = Buffer.alloc(4);
  out.writeUInt32LE(value);
  return out;
};

function metaOf(syntax: string): Buffer {
  const padded = syntax.length % 2 === 0 ? syntax : `${syntax}\0`;
  const rest = Buffer.concat([
    element(0x00020002, 'UI', '1.2.840.10008.5.1.4.1.1.3.1\0'),
    element(0x00020003, 'UI', '2.25.12\0'),
    element(0x00020010, 'UI', Buffer.from(padded)),
  ]);
  const preamble = Buffer.alloc(132);
  preamble.write('DICM', 128);
  return Buffer.concat([preamble, element(0x00020000, 'UL', long(rest.length)), rest]);
}

function headerOf(frames: number, pixelLength: number): Buffer {
  const pixels = Buffer.alloc(12);
  pixels.set([0xe0, 0x7f, 0x10, 0x00, 0x4f, 0x42]);
  pixels.writeUInt32LE(pixelLength, 8);
  return Buffer.concat([
    element(0x00080016, 'UI', '1.2.840.10008.5.1.4.1.1.3.1\0'),
    element(0x00080018, 'UI', '2.25.12\0'),
    element(0x00181063, 'DS', '25'),
    element(0x00280002, 'US', word(1)),
    element(0x00280004, 'CS', 'MONOCHROME2 '),
    element(0x00280008, 'IS', String(frames)),
    element(0x00280010, 'US', word(heightPx)),
    element(0x00280011, 'US', word(widthPx)),
    element(0x00280100, 'US', word(8)),
    element(0x00280101, 'US', word(8)),
    pixels,
  ]);
}

const frameOf = (n: number, of: readonly Uint8Array[]): Uint8Array => of[n % of.length] as Uint8Array;

function writeNative(file: string, bytes: number): void {
  const frames = Math.floor(bytes / (widthPx * heightPx));
  const handle = openSync(file, 'w');
  writeSync(handle, metaOf('1.2.840.10008.1.2.1'));
  writeSync(handle, headerOf(frames, frames * widthPx * heightPx));
  for (let n = 0; n < frames; n += 1) writeSync(handle, frameOf(n, pictures));
  closeSync(handle);
}

async function writeDeflated(file: string, bytes: number): Promise<void> {
  const handle = openSync(file, 'w');
  writeSync(handle, metaOf('1.2.840.10008.1.2.1.99'));
  const frames = Math.floor(bytes / (widthPx * heightPx));
  const deflate = createDeflateRaw({ level: 1 });
  const done = (async () => {
    for await (const piece of deflate) writeSync(handle, piece as Buffer);
  })();
  const put = (piece: Uint8Array): Promise<void> | null =>
    deflate.write(piece) ? null : new Promise((resolve) => deflate.once('drain', resolve));
  await put(headerOf(frames, frames * widthPx * heightPx));
  for (let n = 0; n < frames; n += 1) await put(frameOf(n, pictures));
  deflate.end();
  await done;
  closeSync(handle);
}

function writeJpeg(file: string, bytes: number, jpegs: readonly Uint8Array[]): void {
  const mean = jpegs.reduce((sum, jpeg) => sum + jpeg.length + 8, 0) / jpegs.length;
  const frames = Math.min(20_000, Math.floor(bytes / mean));
  const handle = openSync(file, 'w');
  writeSync(handle, metaOf('1.2.840.10008.1.2.4.50'));
  writeSync(handle, headerOf(frames, 0xffffffff));
  const item = (length: number): Buffer =>
    Buffer.concat([Buffer.from([0xfe, 0xff, 0x00, 0xe0]), long(length)]);
  writeSync(handle, item(0));
  for (let n = 0; n < frames; n += 1) {
    const jpeg = frameOf(n, jpegs);
    writeSync(handle, item(jpeg.length + (jpeg.length % 2)));
    writeSync(handle, jpeg.length % 2 === 0 ? jpeg : Buffer.concat([jpeg, Buffer.alloc(1)]));
  }
  writeSync(handle, Buffer.from([0xfe, 0xff, 0xdd, 0xe0, 0, 0, 0, 0]));
  closeSync(handle);
}

function peakMb(child: ChildProcess): number {
  try {
    const status = readFileSync(`/proc/${child.pid}/status`, 'utf8');
    return (Number(/^VmHWM:\s+(\d+)/m.exec(status)?.[1] ?? 0) * 1024) / 1e6;
  } catch {
    return 0;
  }
}

/** Makes the own pack as the server does, without its limits; gives seconds and the peak. */
function read(file: string): Promise<{ seconds: number; peak: number }> {
  const began = performance.now();
  const child = fork(entry, { serialization: 'advanced', execArgv: ['--max-old-space-size=256'] });
  let peak = 0;
  const watch = setInterval(() => {
    peak = Math.max(peak, peakMb(child));
  }, 20);
  return new Promise((resolve, reject) => {
    child.on('message', (message: { kind: string; result?: { ok: boolean; problem?: { code: string } } }) => {
      if (message.kind !== 'result') return;
      peak = Math.max(peak, peakMb(child));
      clearInterval(watch);
      if (message.result?.ok === true) resolve({ seconds: (performance.now() - began) / 1000, peak });
      else reject(new Error(`${file}: ${message.result?.problem?.code ?? 'no answer'}`));
    });
    child.once('error', reject);
    child.send({
      request: {
        kind: 'make-packs',
        originalPath: file,
        ownPath: at('own'),
        outgoingPath: null,
        keep: 'auto',
      },
      outputMb: 8000,
    });
  });
}

try {
  const jpegs = await Promise.all(
    pictures.map((pixels) =>
      sharp(pixels, { raw: { width: widthPx, height: heightPx, channels: 1 } })
        .toColourspace('b-w')
        .jpeg({ quality: 92 })
        .toBuffer(),
    ),
  );
  const kinds: readonly (readonly [string, (file: string, bytes: number) => Promise<void> | void])[] = [
    ['jpeg', (file, bytes) => writeJpeg(file, bytes, jpegs)],
    ['native', writeNative],
    ['deflated', writeDeflated],
  ];
  for (const mb of sizesMb)
    for (const [kind, write] of kinds) {
      const file = at('original.dcm');
      await write(file, mb * 1e6);
      const { seconds, peak } = await read(file);
      const size = statSync(file).size / 1e6;
      figure(`formats.memory.${kind}-${mb}mb.peak`, peak, 'MB');
      figure(`formats.memory.${kind}-${mb}mb.speed`, size / seconds, 'MB/s of file, start included');
      rmSync(file);
      rmSync(at('own'), { force: true });
    }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
