/**
 * A million cases in one process: the heap after each hundred thousand, and its slope. Weights differ, so that whatever is
 * kept for a patient has to be given up again. Collects before each reading where the process was started with
 * --expose-gc, as `npm run bench` does; without it the readings are rougher and the line says so. `CASES=200000` runs fewer.
 */
import { interpret } from '@chordae/interpretation';
import { fullCase } from './full-case';

const CASES = Number(process.env.CASES ?? 1_000_000);
const STEP = CASES / 10;
const MIB = 1024 * 1024;
const collect = (globalThis as { gc?: () => void }).gc;

const readings: { cases: number; heapMiB: number }[] = [];
let flags = 0;
const from = performance.now();
for (let i = 0; i < CASES; i += 1) {
  const input = fullCase(i % 2 === 0 ? 'dog' : 'cat', i);
  const { weight } = input.patient;
  if (weight) weight.kg += (i % 50_021) * 1e-5;
  flags += interpret(input).flags.length;
  if ((i + 1) % STEP !== 0) continue;
  collect?.();
  const heapMiB = Number((process.memoryUsage().heapUsed / MIB).toFixed(2));
  readings.push({ cases: i + 1, heapMiB });
  console.log(JSON.stringify({ name: 'interpret.heap', cases: i + 1, value: heapMiB, unit: 'MiB' }));
}
if (flags === 0) throw new Error('the bench raised no flag');

/** Least-squares slope of the heap over the cases, the first reading (warm-up) left out, in bytes for each case. */
function slopeBytes(): number {
  const rest = readings.slice(1);
  const mean = (pick: (r: (typeof rest)[0]) => number) =>
    rest.reduce((sum, r) => sum + pick(r), 0) / rest.length;
  const x = mean((r) => r.cases);
  const y = mean((r) => r.heapMiB);
  let top = 0;
  let bottom = 0;
  for (const r of rest) {
    top += (r.cases - x) * (r.heapMiB - y);
    bottom += (r.cases - x) ** 2;
  }
  return (top / bottom) * MIB;
}

console.log(
  JSON.stringify({
    name: 'interpret.heap.slope',
    value: Number(slopeBytes().toFixed(3)),
    unit: 'bytes per case',
    limit: 1,
    collected: collect !== undefined,
    seconds: Math.round((performance.now() - from) / 1000),
  }),
);
