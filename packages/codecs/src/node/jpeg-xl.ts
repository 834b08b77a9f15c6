import { spawn, spawnSync } from 'node:child_process';
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';

/**
 * JPEG XL by the reference decoder `djxl`, where the system has it (libjxl-tools): a frame that was a JPEG before (transfer
 * syntax 1.2.840.10008.1.2.4.111) is turned back into that JPEG, bit for bit. The WebAssembly build tried instead differs
 * from it in 0.2 % of samples by up to 16 levels, so it is not used; other JPEG XL is not read.
 */
let there: boolean | null = null;

export function hasJpegXl(): boolean {
  there ??= spawnSync('djxl', ['--version'], { stdio: 'ignore', timeout: 10_000 }).status === 0;
  return there;
}

const mostBytes = 100_000_000;
const mostMs = 20_000;
const mostAddressKb = 2_000_000;

/** The JPEG from which a frame was packed; null when it was none, is damaged, or there is no decoder. */
export async function jpegOfXl(bytes: Uint8Array): Promise<Uint8Array | null> {
  if (!hasJpegXl() || !hasReconstruction(bytes)) return null;
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-jxl-'));
  try {
    const [from, to] = [path.join(folder, 'in.jxl'), path.join(folder, 'out.jpg')];
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
function hasReconstruction(bytes: Uint8Array): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = 0; at + 8 <= bytes.length; ) {
    if (String.fromCharCode(...bytes.subarray(at + 4, at + 8)) === 'jbrd') return true;
    const size = view.getUint32(at);
    if (size < 8) return false;
    at += size;
  }
  return false;
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
