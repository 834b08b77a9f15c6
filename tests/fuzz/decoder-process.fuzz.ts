/**
 * Changed files through the decoder process as the server starts it; not part of `npm test`. Each must end within its
 * limits with packs or with one problem that has a sentence of its own, and leave nothing half-written.
 * `npx tsx tests/fuzz/decoder-process.fuzz.ts COUNT FILE…`, after `npm run build`.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { readOriginalInChild } from '@chordae/codecs/node';
import { problemCodesInWords, sayProblem } from '@chordae/words';
import { mutate, numbersFrom } from './mutate';

const [count = '100', ...files] = process.argv.slice(2);
const entry = path.resolve(import.meta.dirname, '../../dist/decoder-process.js');
const limits = { wallMs: 20_000, rssMb: 700 };
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-fuzz-decoder-'));
const below = numbersFrom(77_777);
const seeds = files.map((file) => new Uint8Array(readFileSync(file)));
const codes = new Map<string, number>();
let [bad, slowest] = [0, 0];

async function one(number: number): Promise<void> {
  const originalPath = path.join(folder, `in-${number}`);
  const seed = seeds[number % seeds.length] as Uint8Array;
  const other = seeds[below(seeds.length)] as Uint8Array;
  writeFileSync(originalPath, mutate(seed, other, below));
  const [ownPath, outgoingPath] = [path.join(folder, `own-${number}`), path.join(folder, `out-${number}`)];
  const began = performance.now();
  const read = await readOriginalInChild(
    { kind: 'make-packs', originalPath, ownPath, outgoingPath, keep: 'auto' },
    { entry, limits },
  );
  const took = performance.now() - began;
  slowest = Math.max(slowest, took);
  const code = read.ok ? 'read' : read.problem.code;
  codes.set(code, (codes.get(code) ?? 0) + 1);
  const unsaid = !read.ok && (!problemCodesInWords.includes(code) || /\n/.test(sayProblem(read.problem)));
  const fallen = /^DECODER_(CRASHED|TIMED_OUT|OUT_OF_MEMORY)$/.test(code);
  const half = readdirSync(folder).some((name) => name.endsWith('.part') && name.includes(`-${number}.`));
  if (unsaid || fallen || half || took > limits.wallMs + 2000) {
    bad += 1;
    console.log(`${code}${half ? ', half-written' : ''}: kept as ${originalPath}`);
  } else rmSync(originalPath);
  for (const made of [ownPath, outgoingPath]) rmSync(made, { force: true });
}

const began = performance.now();
for (let number = 0; number < Number(count); number += 1) await one(number);
const seconds = Math.round((performance.now() - began) / 1000);
console.log(
  JSON.stringify({
    files: Number(count),
    bad,
    seconds,
    slowestMs: Math.round(slowest),
    codes: Object.fromEntries(codes),
  }),
);
if (bad === 0) rmSync(folder, { recursive: true });
process.exitCode = bad === 0 ? 0 : 1;
