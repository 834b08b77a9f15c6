/**
 * How long one answer takes: a full case of 30 measurements and 12 views, after warm-up. Prints one JSON line per
 * figure. Peer: a plain loop of as many Math.pow calls as the case holds measurements, as the machine's own pace.
 */
import { interpret } from '@chordae/interpretation';
import { median } from './figures';
import { fullCase } from './full-case';

const WARM_UP = 2000;
const RUNS = 5000;

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
const dog = timesUs((i) => {
  sink += interpret(fullCase('dog', i)).flags.length;
});
const cat = timesUs((i) => {
  sink += interpret(fullCase('cat', i)).flags.length;
});
const peer = timesUs((i) => {
  for (let n = 0; n < 30; n += 1) sink += (7.4 + i * 1e-6 + n) ** 0.294;
});

const line = (name: string, value: number, extra: object = {}): void =>
  console.log(JSON.stringify({ name, value: Number(value.toFixed(2)), unit: 'µs', ...extra }));

const peerUs = median(peer);
line('interpret.dog.full.median', median(dog), {
  peer: peerUs,
  ratio: Number((median(dog) / peerUs).toFixed(1)),
  limit: 300,
});
line('interpret.cat.full.median', median(cat), {
  peer: peerUs,
  ratio: Number((median(cat) / peerUs).toFixed(1)),
  limit: 300,
});
line('interpret.dog.full.p99', dog.sort((a, b) => a - b)[Math.floor(RUNS * 0.99)] as number);
if (!Number.isFinite(sink)) throw new Error('the bench computed no number');
