/**
 * How long one answer takes: a full case of 30 measurements and 12 views, after warm-up: the core of it (indices, flags,
 * stages, urgency) and the whole record (with the input's hash, checks and completeness). Prints one JSON line per figure. Peer: a plain loop of as many Math.pow calls as the case holds measurements, as the machine's own pace.
 */
import { interpret, whatWouldChange } from '@chordae/interpretation';
import { judge } from '../../packages/interpretation/src/interpret';
import { median } from './figures';
import { fullCase } from './full-case';

const WARM_UP = 2000;
const RUNS = 5000;

const cases = { dog: made('dog'), cat: made('cat') };

/** Cases made before the clock runs: what is timed is the answer, not the making of the question. */
function made(species: 'dog' | 'cat') {
  return Array.from({ length: WARM_UP }, (_, i) => fullCase(species, i));
}

function timesUs(work: (i: number) => unknown): number[] {
  const times: number[] = [];
  for (let i = 0; i < WARM_UP; i += 1) work(i);
  for (let i = 0; i < RUNS; i += 1) {
    const from = performance.now();
    work(i);
    times.push((performance.now() - from) * 1000);
  }
  return times;
}

let sink = 0;
const core = (species: 'dog' | 'cat') =>
  timesUs((i) => {
    sink += judge(cases[species][i % WARM_UP] as (typeof cases.dog)[0]).flags.length;
  });
const dogCore = core('dog');
const catCore = core('cat');
const dog = timesUs((i) => {
  sink += interpret(cases.dog[i % WARM_UP] as (typeof cases.dog)[0]).flags.length;
});
const cat = timesUs((i) => {
  sink += interpret(cases.cat[i % WARM_UP] as (typeof cases.cat)[0]).flags.length;
});
const peer = timesUs((i) => {
  for (let n = 0; n < 30; n += 1) sink += (7.4 + i * 1e-6 + n) ** 0.294;
});

const line = (name: string, value: number, extra: object = {}): void =>
  console.log(JSON.stringify({ name, value: Number(value.toFixed(2)), unit: 'µs', ...extra }));

const peerUs = median(peer);
line('interpret.dog.core.median', median(dogCore), {
  peer: peerUs,
  ratio: Number((median(dogCore) / peerUs).toFixed(1)),
  limit: 100,
});
line('interpret.cat.core.median', median(catCore), {
  peer: peerUs,
  ratio: Number((median(catCore) / peerUs).toFixed(1)),
  limit: 100,
});
line('interpret.dog.full.median', median(dog), {
  peer: peerUs,
  ratio: Number((median(dog) / peerUs).toFixed(1)),
  limit: 100,
});
line('interpret.cat.full.median', median(cat), {
  peer: peerUs,
  ratio: Number((median(cat) / peerUs).toFixed(1)),
  limit: 100,
});
line('interpret.dog.full.p99', dog.sort((a, b) => a - b)[Math.floor(RUNS * 0.99)] as number);
const turns = Array.from({ length: 60 }, (_, i) => {
  const from = performance.now();
  sink += whatWouldChange(fullCase(i % 2 === 0 ? 'dog' : 'cat', i)).length;
  return performance.now() - from;
}).slice(20);
console.log(
  JSON.stringify({
    name: 'what-would-change.median',
    value: Number(median(turns).toFixed(2)),
    unit: 'ms',
    limit: 20,
    peer: Number(((median(dog) + median(cat)) / 2000).toFixed(3)),
    ratio: Number((median(turns) / ((median(dog) + median(cat)) / 2000)).toFixed(0)),
  }),
);
if (!Number.isFinite(sink)) throw new Error('the bench computed no number');
