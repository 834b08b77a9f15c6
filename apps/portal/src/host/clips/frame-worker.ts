/** Worker entry: fetches packs and decodes their frames beside the page. */
import type { FromFrameWorker, ToFrameWorker } from './frame-jobs';
import { FrameJobs } from './frame-jobs';

/** The part of a worker's global scope used here; the DOM library of the compiler knows only the page's. */
interface WorkerScope {
  addEventListener(kind: 'message', listen: (event: MessageEvent<ToFrameWorker>) => void): void;
  postMessage(message: FromFrameWorker, handOver: Transferable[]): void;
}

const scope = globalThis as unknown as WorkerScope;
const jobs = new FrameJobs((message, handOver) => scope.postMessage(message, handOver));
scope.addEventListener('message', ({ data }) => jobs.take(data));
