/**
 * Coverage-guided changing of seed files through each own reader; not part of `npm test`.
 * `npx tsx tests/fuzz/readers.fuzz.ts SECONDS [TARGET …]`: each target runs that long; findings are written to the folder
 * that is printed. Whatever throws, or takes longer than a second, is a finding.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import sharp from 'sharp';
import { madeDicom } from '../support/made-dicom';
import { BlockCoverage } from './coverage';
import { mutate, numbersFrom } from './mutate';
import type { Target } from './targets';
import { targets } from './targets';

const slowMs = 1000;
const [seconds = '60', ...wanted] = process.argv.slice(2);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-fuzz-'));

async function seedJpegs(): Promise<Uint8Array[]> {
  const noise = Uint8Array.from({ length: 3 * 48 * 48 }, (_, n) => (n * n * 31 + n * 7) & 255);
  const raw = () => sharp(noise, { raw: { width: 48, height: 48, channels: 3 } });
  const made = [
    raw().jpeg({ quality: 70 }),
    raw().jpeg({ quality: 95, chromaSubsampling: '4:4:4' }),
    raw().greyscale().jpeg({ quality: 50 }),
    raw().jpeg({ progressive: true }),
  ];
  return Promise.all(made.map(async (image) => new Uint8Array(await image.toBuffer())));
}

/** Files coded by tools that may not be there. */
function tooled(tool: string, args: (from: string, to: string) => string[], start: Uint8Array): Uint8Array[] {
  const [from, to] = [path.join(folder, 'from'), path.join(folder, 'to')];
  writeFileSync(from, start);
  try {
    execFileSync(tool, args(from, to), { stdio: 'ignore', timeout: 20_000 });
    return [new Uint8Array(readFileSync(to))];
  } catch {
    return [];
  } finally {
    for (const file of [from, to]) rmSync(file, { force: true });
  }
}

const start = madeDicom();
const coded = [
  ...tooled('dcmcjpls', (a, b) => ['+el', a, b], start),
  ...tooled('dcmcjpls', (a, b) => ['+en', '+md', '2', a, b], start),
  ...tooled('dcmcjpeg', (a, b) => ['+e1', a, b], start),
  ...tooled('dcmcjpeg', (a, b) => ['+el', '+sv', '6', a, b], start),
  ...tooled('dcmconv', (a, b) => ['+tb', a, b], start),
  ...tooled('dcmconv', (a, b) => ['+td', a, b], start),
  ...tooled('dcmconv', (a, b) => ['+te', '-e', a, b], start),
];
const source = 'testsrc=size=32x24:rate=10:duration=0.3';
const film = (codec: string[]): Uint8Array[] =>
  tooled(
    'ffmpeg',
    (_a, b) => ['-v', 'error', '-f', 'lavfi', '-i', source, ...codec, '-f', 'avi', '-y', b],
    start,
  );
const films = [...film(['-c:v', 'mjpeg']), ...film(['-c:v', 'rawvideo', '-pix_fmt', 'bgr24'])];

async function fuzz(target: Target, coverage: BlockCoverage): Promise<number> {
  const below = numbersFrom(20_261_125);
  const corpus = [...target.seeds];
  let [runs, findings, slowest] = [0, 0, 0];
  const until = performance.now() + 1000 * Number(seconds);
  const seen = new Set<string>();
  while (performance.now() < until) {
    const from = corpus[below(corpus.length)] as Uint8Array;
    const bytes =
      runs < target.seeds.length
        ? (target.seeds[runs] as Uint8Array)
        : mutate(from, corpus[below(corpus.length)] as Uint8Array, below);
    runs += 1;
    const began = performance.now();
    let what = '';
    try {
      await target.run(bytes);
    } catch (thrown) {
      what =
        thrown instanceof Error
          ? (thrown.stack?.split('\n').slice(0, 2).join(' ') ?? thrown.message)
          : String(thrown);
    }
    const took = performance.now() - began;
    slowest = Math.max(slowest, took);
    if (what === '' && took > slowMs) what = `slow: ${Math.round(took)} ms`;
    if (what !== '' && !seen.has(what.replace(/\d+ ms/, ''))) {
      seen.add(what.replace(/\d+ ms/, ''));
      findings += 1;
      writeFileSync(path.join(folder, `${target.name}-${findings}`), bytes);
      console.log(`${target.name}: ${what}`);
    }
    if ((await coverage.fresh()) > 0 && corpus.length < 5000) corpus.push(bytes);
  }
  console.log(
    JSON.stringify({
      target: target.name,
      runs,
      corpus: corpus.length,
      blocks: coverage.blocks,
      findings,
      slowestMs: Math.round(slowest),
    }),
  );
  return findings;
}

const coverage = new BlockCoverage();
await coverage.start();
let all = 0;
for (const target of targets(await seedJpegs(), coded, films))
  if (wanted.length === 0 || wanted.includes(target.name)) all += await fuzz(target, coverage);
console.log(all === 0 ? 'no findings' : `${all} findings in ${folder}`);
process.exitCode = all === 0 ? 0 : 1;
