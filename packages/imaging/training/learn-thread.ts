import { parentPort, workerData } from 'node:worker_threads';
import type { CourseName } from './courses';
import { courses } from './courses';
import type { Shared } from './shard';
import { shardWorker } from './shard';

/** One thread of a training: waits for a step, works its shards, says so. */
const { name, common, number, threads } = workerData as {
  name: CourseName;
  common: Shared;
  number: number;
  threads: number;
};
const { signs } = common;
const { shards } = courses[name];
const work = shardWorker(courses[name], common);
let seen = 0;
parentPort?.postMessage('ready');
for (;;) {
  Atomics.wait(signs, 0, seen);
  const now = Atomics.load(signs, 0);
  if (now < 0) break;
  if (now === seen) continue;
  seen = now;
  for (let shard = number; shard < shards; shard += threads) work(shard, Atomics.load(signs, 2));
  Atomics.add(signs, 1, 1);
  Atomics.notify(signs, 1);
}
