/**
 * Coverage-guided changing of seed files through each own reader; not part of `npm test`.
 * `npx tsx tests/fuzz/readers.fuzz.ts SECONDS [TARGET …]`: each target runs that long; findings are written to the folder
 * that is printed. Whatever throws, or takes longer than a second of the processor's time, is a finding.
 */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { BlockCoverage } from './coverage';
import { mutate, numbersFrom } from './mutate';
import { codedDicom, seedAvis, seedIsoFilms, seedJpegs } from './seeds';
import type { Target } from './targets';
import { targets } from './targets';

const slowMs = 1000;
const [seconds = '60', ...wanted] = process.argv.slice(2);
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-fuzz-'));

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
    const began = process.cpuUsage();
    let what = '';
    try {
      await target.run(bytes);
    } catch (thrown) {
      what =
        thrown instanceof Error
          ? (thrown.stack?.split('\n').slice(0, 2).join(' ') ?? thrown.message)
          : String(thrown);
    }
    // Not by the clock on the wall: others may use the machine.
    const took = process.cpuUsage(began).user / 1000;
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
for (const target of targets(await seedJpegs(), codedDicom(), seedAvis(), seedIsoFilms()))
  if (wanted.length === 0 || wanted.includes(target.name)) all += await fuzz(target, coverage);
console.log(all === 0 ? 'no findings' : `${all} findings in ${folder}`);
process.exitCode = all === 0 ? 0 : 1;
