import { spawn, spawnSync } from 'node:child_process';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { CodedSamples } from '@chordae/dicom';

/**
 * JPEG XL by the reference decoder `djxl`, where the system has it (libjxl-tools): a frame that was a JPEG before (transfer
 * syntax 1.2.840.10008.1.2.4.111) is turned back into that JPEG, bit for bit, any other into its pixels. Without it the
 * optional WebAssembly build reads lossless ones of 8 bits: there it gave djxl's pixels on every sample tried, while on
 * lossy ones it differs by some levels, so those are not read.
 */
let there: boolean | null = null;

export function hasJpegXl(): boolean {
  there ??= spawnSync('djxl', ['--version'], { stdio: 'ignore', timeout: 10_000 }).status === 0;
  return there;
}

const mostBytes = 400_000_000;
const mostMs = 20_000;
const mostAddressKb = 2_000_000;

/** The JPEG from which a frame was packed; null when it was none, is damaged, or there is no decoder. */
export async function jpegOfXl(bytes: Uint8Array): Promise<Uint8Array | null> {
  return hasJpegXl() && wasJpeg(bytes) ? unpacked(bytes, 'out.jpg') : null;
}

/** The pixels of a frame by djxl; null when it is damaged or of more channels than grey or RGB. */
export async function samplesOfXl(bytes: Uint8Array): Promise<CodedSamples | null> {
  const drawn = await unpacked(bytes, 'out.ppm');
  return drawn === null ? null : readPnm(drawn);
}

async function unpacked(bytes: Uint8Array, name: string): Promise<Uint8Array | null> {
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-jxl-'));
  try {
    const [from, to] = [path.join(folder, 'in.jxl'), path.join(folder, name)];
    await writeFile(from, bytes);
    if (!(await run(from, to))) return null;
    const { size } = await stat(to);
    return size > mostBytes ? null : new Uint8Array(await readFile(to));
  } catch {
    return null;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The box with what JPEG XL does not keep of a JPEG (ISO/IEC 18181-2, `jbrd`); without it a JPEG would be made anew. */
export function wasJpeg(bytes: Uint8Array): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = 0; at + 8 <= bytes.length; ) {
    if (String.fromCharCode(...bytes.subarray(at + 4, at + 8)) === 'jbrd') return true;
    const size = view.getUint32(at);
    if (size < 8) return false;
    at += size;
  }
  return false;
}

/** A binary PGM or PPM: one byte a sample, or two with the high one first. */
function readPnm(bytes: Uint8Array): CodedSamples | null {
  const text = String.fromCharCode(...bytes.subarray(0, 64));
  const head = /^P([56])\s+(\d+)\s+(\d+)\s+(\d+)\s/.exec(text);
  if (head === null) return null;
  const [whole, kind, ...rest] = head;
  const [widthPx = 0, heightPx = 0, most = 0] = rest.map(Number);
  const components = kind === '6' ? 3 : 1;
  const precision = 32 - Math.clz32(most);
  const count = widthPx * heightPx * components;
  const body = bytes.subarray(whole.length);
  if (precision > 16 || body.length < count * (precision > 8 ? 2 : 1)) return null;
  const samples =
    precision > 8
      ? Uint16Array.from({ length: count }, (_, n) => ((body[2 * n] ?? 0) << 8) | (body[2 * n + 1] ?? 0))
      : body.subarray(0, count);
  return { widthPx, heightPx, components, precision, samples };
}

/** The part of `@jsquash/jxl` that is used; its entry is made for browsers, this is what lies beneath it. */
interface XlModule {
  decode(
    bytes: Uint8Array,
  ): { readonly data: Uint8ClampedArray; readonly width: number; readonly height: number } | null;
}

let lossless: Promise<XlModule | null> | null = null;

function wasmDecoder(): Promise<XlModule | null> {
  lossless ??= (async () => {
    try {
      const entry = createRequire(import.meta.url).resolve('@jsquash/jxl/codec/dec/jxl_dec.js');
      const wasmBinary = await readFile(path.join(path.dirname(entry), 'jxl_dec.wasm'));
      const scope = globalThis as unknown as Record<string, unknown>;
      scope['ImageData'] ??= class {
        constructor(
          readonly data: Uint8ClampedArray,
          readonly width: number,
          readonly height: number,
        ) {}
      };
      const made = (await import(entry)) as { default: (options: object) => Promise<XlModule> };
      return await made.default({ wasmBinary, noInitialRun: true });
    } catch {
      return null;
    }
  })();
  return lossless;
}

/** The optional build is installed. */
export async function hasLosslessXl(): Promise<boolean> {
  return (await wasmDecoder()) !== null;
}

/** The 8-bit pixels of a lossless frame by the WebAssembly build; null when it is damaged, transparent or not there. */
export async function losslessSamplesOfXl(
  bytes: Uint8Array,
  components: 1 | 3,
): Promise<CodedSamples | null> {
  try {
    const drawn = (await wasmDecoder())?.decode(bytes);
    if (drawn === null || drawn === undefined) return null;
    const { data, width: widthPx, height: heightPx } = drawn;
    const samples = new Uint8Array(widthPx * heightPx * components);
    for (let n = 0; n < widthPx * heightPx; n += 1) {
      if (data[4 * n + 3] !== 255) return null;
      if (components === 1 && (data[4 * n] !== data[4 * n + 1] || data[4 * n] !== data[4 * n + 2]))
        return null;
      for (let c = 0; c < components; c += 1) samples[n * components + c] = data[4 * n + c] ?? 0;
    }
    return { widthPx, heightPx, components, precision: 8, samples };
  } catch {
    return null;
  }
}

function run(from: string, to: string): Promise<boolean> {
  return new Promise((resolve) => {
    const bounded = `ulimit -v ${mostAddressKb} 2>/dev/null; exec "$0" "$@"`;
    const child = spawn('/bin/sh', ['-c', bounded, 'djxl', from, to, '--num_threads=0'], { stdio: 'ignore' });
    const clock = setTimeout(() => child.kill('SIGKILL'), mostMs);
    const end = (fine: boolean) => (): void => {
      clearTimeout(clock);
      resolve(fine);
    };
    child.once('error', end(false));
    child.once('close', (code) => end(code === 0)());
  });
}
