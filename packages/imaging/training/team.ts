import { once } from 'node:events';
import type { CourseName } from './courses';
import { courses } from './courses';
import { newThread } from './program';
import type { Shared } from './shard';
import { shardWorker } from './shard';

export interface Team {
  /** Works all shards of the batch at hand, and comes back when all are done. */
  work(step: number): void;
  end(): Promise<void>;
}

/** Threads that share the shards; with one, the work is done here. */
export async function makeTeam(name: CourseName, common: Shared, threads: number): Promise<Team> {
  const { shards } = courses[name];
  if (threads <= 1) {
    const one = shardWorker(courses[name], common);
    return {
      work(step) {
        for (let shard = 0; shard < shards; shard += 1) one(shard, step);
      },
      end: () => Promise.resolve(),
    };
  }
  const { signs } = common;
  const workers = Array.from({ length: threads }, (_, number) =>
    newThread('learn-thread', { name, common, number, threads }),
  );
  // 'online' comes before a thread has read its program, for which it may need this one: wait for its word.
  await Promise.all(workers.map((worker) => once(worker, 'message')));
  return {
    work(step) {
      Atomics.store(signs, 1, 0);
      Atomics.store(signs, 2, step);
      Atomics.add(signs, 0, 1);
      Atomics.notify(signs, 0);
      for (let done = Atomics.load(signs, 1); done < threads; done = Atomics.load(signs, 1))
        Atomics.wait(signs, 1, done);
    },
    async end() {
      Atomics.store(signs, 0, -1);
      Atomics.notify(signs, 0);
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
