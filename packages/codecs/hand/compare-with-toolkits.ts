/**
 * By hand, not in the tests: compares decoded pixels with DCMTK and GDCM (which must be installed) and prints a table
 * and the SHA-256 of each file's pixels. `npx tsx packages/codecs/hand/compare-with-toolkits.ts FILE…`
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { openOriginal } from '../src/node/index';

const folder = mkdtempSync(join(tmpdir(), 'compare-'));

function run(command: string, ...parameters: string[]): boolean {
  try {
    execFileSync(command, parameters, { stdio: 'ignore', timeout: 60_000 });
    return true;
  } catch {
    return false;
  }
}

/** Samples of a binary PGM or PPM file. */
function pnm(path: string): { channels: number; bytes: Buffer } {
  const all = readFileSync(path);
  const head = /^(P[56])\s+(?:#.*\n\s*)*(\d+)\s+(\d+)\s+255\s/.exec(all.toString('latin1', 0, 200));
  if (head === null) throw new Error(`not an 8-bit PNM: ${path}`);
  return { channels: head[1] === 'P6' ? 3 : 1, bytes: all.subarray(head[0].length) };
}

/** Frames by DCMTK: decompressed by dcmdrle or dcmdjpeg, drawn by dcm2pnm. */
function byDcmtk(path: string): Buffer[] | null {
  const plain = join(folder, 'plain.dcm');
  if (!run('dcmdjpeg', '+cn', path, plain) && !run('dcmdrle', path, plain)) return null;
  const stem = join(folder, 'frame');
  if (!run('dcm2pnm', '+op', '+Fa', plain, stem)) return null;
  const number = (name: string): number => Number(/\.(\d+)\./.exec(name)?.[1] ?? 0);
  const names = readdirSync(folder)
    .filter((name) => name.startsWith('frame'))
    .sort((a, b) => number(a) - number(b));
  const frames = names.map((name) => pnm(join(folder, name)).bytes);
  for (const name of names) rmSync(join(folder, name));
  return frames;
}

/** All frames together by GDCM: lookup table applied, raw samples; `rgb` by its own colour conversion. */
function byGdcm(path: string, frames: number): Buffer[] | null {
  const raw = join(folder, 'gdcm.dcm');
  const out = join(folder, 'gdcm.raw');
  const applied = run('gdcmconv', '--apply-lut', '--raw', path, raw) || run('gdcmconv', '--raw', path, raw);
  if (!applied || !run('gdcmraw', '-i', raw, '-o', out)) return null;
  const bytes = readFileSync(out);
  const each = Math.floor(bytes.length / frames);
  return Array.from({ length: frames }, (_, n) => bytes.subarray(n * each, (n + 1) * each));
}

function difference(ours: Uint8Array, theirs: Buffer, channels: number): string {
  let other: Uint8Array = theirs;
  if (channels === 1 && theirs.length >= 3 * ours.length) other = theirs.filter((_, n) => n % 3 === 0);
  if (channels === 3 && theirs.length * 3 === ours.length)
    other = Uint8Array.from(ours, (_, n) => theirs[Math.floor(n / 3)] ?? 0);
  if (other.length >= 2 * ours.length) other = Uint8Array.from(ours, (_, n) => theirs[2 * n + 1] ?? 0);
  if (other.length < ours.length) return `size ${other.length} not ${ours.length}`;
  let most = 0;
  let differing = 0;
  for (let n = 0; n < ours.length; n += 1) {
    const d = Math.abs((ours[n] ?? 0) - (other[n] ?? 0));
    if (d > 0) differing += 1;
    if (d > most) most = d;
  }
  return most === 0 ? 'equal' : `max ${most}, ${((100 * differing) / ours.length).toFixed(2)} %`;
}

function worst(results: string[]): string {
  const bad = results.filter((result) => result !== 'equal');
  if (bad.length === 0) return 'equal';
  return (
    bad.sort(
      (a, b) => Number(/max (\d+)/.exec(b)?.[1] ?? 999) - Number(/max (\d+)/.exec(a)?.[1] ?? 999),
    )[0] ?? ''
  );
}

console.log('| file | frames | DCMTK | GDCM | SHA-256 of our pixels |\n| --- | --- | --- | --- | --- |');
for (const path of process.argv.slice(2)) {
  const opened = await openOriginal(path);
  if (!opened.ok) {
    console.log(
      `| ${basename(path)} | - | refused: ${opened.problem.code} ${Object.values(opened.problem.data).join(' ')} | | |`,
    );
    continue;
  }
  const original = opened.value;
  const { frameCount } = original.description;
  const hash = createHash('sha256');
  const dcmtk = byDcmtk(path);
  const gdcm = byGdcm(path, frameCount);
  const found: { dcmtk: string[]; gdcm: string[] } = { dcmtk: [], gdcm: [] };
  for (let frame = 0; frame < frameCount; frame += 1) {
    const picture = await original.picture(frame);
    if (!picture.ok) {
      found.dcmtk.push(picture.problem.code);
      continue;
    }
    const { pixels, channels } = picture.value;
    hash.update(pixels);
    const [a, b] = [dcmtk?.[frame], gdcm?.[frame]];
    found.dcmtk.push(a === undefined ? 'not read by it' : difference(pixels, a, channels));
    found.gdcm.push(b === undefined ? 'not read by it' : difference(pixels, b, channels));
  }
  await original.close();
  console.log(
    `| ${basename(path)} | ${frameCount} | ${worst(found.dcmtk)} | ${worst(found.gdcm)} | ${hash.digest('hex')} |`,
  );
}
rmSync(folder, { recursive: true });
