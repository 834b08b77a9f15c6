import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { availableParallelism } from 'node:os';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';

/**
 * What each thread runs: OpenJPEG 2.5 as WebAssembly with HTJ2K, of pdfjs-dist's image decoders. It is text, since a thread
 * is started from a file, and whoever bundles this package makes one file of it.
 */
const program = `
const { parentPort, workerData } = require('node:worker_threads');
const decoder = import(workerData.place).then(({ JpxImage }) => {
  JpxImage.setOptions({
    useWasm: true,
    useWorkerFetch: false,
    handler: { sendWithPromise: () => Promise.resolve(workerData.wasm) },
  });
  return JpxImage;
});
parentPort.on('message', async ({ number, bytes, components }) => {
  try {
    const out = await (await decoder).decode(bytes, { numComponents: components });
    const samples = new Uint8Array(out);
    parentPort.postMessage({ number, samples }, [samples.buffer]);
  } catch {
    parentPort.postMessage({ number, samples: null });
  }
});
`;

interface Answer {
  readonly number: number;
  readonly samples: Uint8Array | null;
}

/** One thread and what it was asked for. */
class Thread {
  private readonly worker: Worker;
  private readonly asked = new Map<number, (samples: Uint8Array | null) => void>();
  private next = 0;
  broken = false;

  constructor(place: string, wasm: Uint8Array) {
    this.worker = new Worker(program, {
      eval: true,
      workerData: { place, wasm },
      execArgv: [],
      stdout: true,
      stderr: true,
    });
    // It waits for nothing of its own: the process may end.
    this.worker.unref();
    this.worker.on('message', ({ number, samples }: Answer) => {
      const answer = this.asked.get(number);
      this.asked.delete(number);
      if (this.asked.size === 0) this.worker.unref();
      answer?.(samples);
    });
    const end = (): void => {
      this.broken = true;
      for (const answer of this.asked.values()) answer(null);
      this.asked.clear();
    };
    this.worker.on('error', end);
    this.worker.on('exit', end);
  }

  get waiting(): number {
    return this.asked.size;
  }

  decode(bytes: Uint8Array, components: number): Promise<Uint8Array | null> {
    return new Promise((resolve) => {
      this.next += 1;
      this.asked.set(this.next, resolve);
      this.worker.ref();
      this.worker.postMessage({ number: this.next, bytes, components });
    });
  }
}

/** Frames are asked for two at a time, and a small server has two cores. */
const mostThreads = Math.min(2, availableParallelism());
const threads: Thread[] = [];
let wasmRead: Promise<Uint8Array> | null = null;

/** Samples of a JPEG 2000 stream, pixel by pixel, 8 bits each, its own colour transformation undone; null when it is damaged. */
export async function unpackJpeg2000(bytes: Uint8Array, components: number): Promise<Uint8Array | null> {
  const find = createRequire(import.meta.url).resolve;
  wasmRead ??= readFile(find('pdfjs-dist/wasm/openjpeg.wasm'));
  const wasm = await wasmRead;
  const idle = threads.find((thread) => !thread.broken && thread.waiting === 0);
  const working = threads.filter((thread) => !thread.broken);
  if (idle !== undefined) return idle.decode(bytes, components);
  if (working.length < mostThreads) {
    const place = find('pdfjs-dist/legacy/image_decoders/pdf.image_decoders.mjs');
    const made = new Thread(pathToFileURL(place).href, wasm);
    threads.push(made);
    return made.decode(bytes, components);
  }
  const [least] = working.sort((a, b) => a.waiting - b.waiting);
  return least === undefined ? null : least.decode(bytes, components);
}
