import { closeSync, existsSync, openSync, readFileSync, readSync, statSync, writeSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Demuxer, FilmDecoder, FrameStream } from './film-decoder';
import type { HeldFrames } from './held-frames';
import { openHeldFrames } from './held-frames';
import { mostlyErrors, rawFrameArguments, runArguments } from './run-arguments';

/** The part of the optional package that is used. It is a GPL program of its own: run here, in the decoder process, and nowhere else. */
export interface WasmCore {
  readonly FS: {
    writeFile(name: string, bytes: Uint8Array): void;
    readFile(name: string): Uint8Array;
    unlink(name: string): void;
    lookupPath(name: string): { node: MemoryNode };
    makedev(major: number, minor: number): number;
    registerDevice(device: number, operations: object): void;
    mkdev(name: string, mode: number, device: number): void;
  };
  exec(...args: string[]): number;
  ffprobe(...args: string[]): number;
  setLogger(logger: (line: { readonly type: string; readonly message: string }) => void): void;
}

interface MemoryNode {
  usedBytes: number;
  stream_ops: object;
}

/** Unpacked frames lie on disk while they are read: the program runs to its end in one go. */
const mostRawBytes = 3_000_000_000;

/** Loads the optional WebAssembly build anew; null where it is not installed. */
export function wasmCore(): (() => Promise<WasmCore>) | null {
  const find = createRequire(import.meta.url).resolve;
  let entry: string;
  try {
    entry = find('@ffmpeg/core');
  } catch {
    return null;
  }
  const wasm = path.join(path.dirname(entry), 'ffmpeg-core.wasm');
  return existsSync(wasm) ? () => start(entry, wasm) : null;
}

/** It as a decoder of films; null likewise. */
export function wasmFfmpeg(): FilmDecoder | null {
  const loadNew = wasmCore();
  if (loadNew === null) return null;
  let core: Promise<WasmCore> | null = null;
  const load = (): Promise<WasmCore> => (core ??= loadNew());
  // What a damaged film left in its memory is not trusted with the next one.
  const noteEnd = (code: number | 'crashed', good: readonly number[]): void => {
    if (code === 'crashed' || !good.includes(code)) core = null;
  };
  return {
    name: 'ffmpeg (WebAssembly)',
    besides: false,
    async probe(file, demuxer, entries) {
      const program = await load();
      const what = ['-select_streams', 'v:0', '-show_entries', entries, '-of', 'json', '-o', '/probe'];
      const code = withInput(program, file, () =>
        program.ffprobe('-v', 'error', ...what, '-f', demuxer, '-i', '/input'),
      );
      // It gives -1 when all went well.
      noteEnd(code, [0, -1]);
      return taken(program, '/probe');
    },
    async run(file, demuxer, how, held) {
      const program = await load();
      const args = runArguments(how, {
        frames: '/frames',
        strips: '/strips',
        raw: '/output',
        rawFrames: held.frames,
      });
      const before = complaints;
      const code = execTo(program, held.frames > 0 ? held.path : null, file, demuxer, ['-copyts'], args);
      noteEnd(code, [0]);
      const well = code === 0 || code === mostlyErrors;
      return {
        frames: taken(program, '/frames') ?? '',
        strips: taken(program, '/strips') ?? '',
        ended: code === 'crashed' ? code : well ? 'well' : 'badly',
        complained: complaints > before,
      };
    },
    async frames(file, demuxer, head) {
      const program = await load();
      const folder = await mkdtemp(path.join(tmpdir(), 'chordae-film-'));
      const raw = path.join(folder, 'frames');
      const before = complaints;
      noteEnd(execTo(program, raw, file, demuxer, [], [...rawFrameArguments(head), '/output']), [0]);
      const held = openHeldFrames(raw, head, () => rm(folder, { recursive: true, force: true }));
      return storedFrames(held, complaints > before);
    },
  };
}

/** Runs the program through a film, its raw frames into a file of the disk. */
function execTo(
  program: WasmCore,
  raw: string | null,
  file: string,
  demuxer: Demuxer,
  before: readonly string[],
  after: readonly string[],
): number | 'crashed' {
  output = raw === null ? null : { descriptor: openSync(raw, 'w'), written: 0 };
  try {
    return withInput(program, file, () =>
      program.exec('-nostdin', '-v', 'error', '-y', ...before, '-f', demuxer, '-i', '/input', ...after),
    );
  } finally {
    if (output !== null) closeSync(output.descriptor);
    output = null;
  }
}

/** What it wrote into its own memory; null when nothing. */
function taken(program: WasmCore, name: string): string | null {
  try {
    const text = Buffer.from(program.FS.readFile(name)).toString('utf8');
    program.FS.unlink(name);
    return text;
  } catch {
    return null;
  }
}

let output: { descriptor: number; written: number } | null = null;
let complaints = 0;

async function start(entry: string, wasm: string): Promise<WasmCore> {
  // The package is made for a browser's worker: it looks for these.
  const scope = globalThis as unknown as Record<string, unknown>;
  scope['self'] ??= globalThis;
  scope['location'] ??= { href: 'file:///' };
  scope['importScripts'] ??= () => undefined;
  const { default: create } = (await import(entry)) as { default: (options: object) => Promise<WasmCore> };
  const core = await create({
    wasmBinary: readFileSync(wasm),
    mainScriptUrlOrBlob: `x#${btoa(JSON.stringify({ wasmURL: 'x', workerURL: 'x' }))}`,
  });
  // It takes no `printErr` from outside, and ends each run by aborting.
  core.setLogger(({ type, message }) => {
    if (type === 'stderr' && !message.startsWith('Aborted(')) complaints += 1;
  });
  const device = core.FS.makedev(120, 1);
  core.FS.registerDevice(device, {
    open: () => undefined,
    close: () => undefined,
    llseek: (_stream: unknown, offset: number) => offset,
    write: (_stream: unknown, buffer: Int8Array, offset: number, length: number) => {
      if (output === null || output.written + length > mostRawBytes) throw new Error('too much output');
      let done = 0;
      while (done < length) done += writeSync(output.descriptor, buffer, offset + done, length - done);
      output.written += length;
      return length;
    },
  });
  core.FS.mkdev('/output', 0o600, device);
  return core;
}

/** Runs the program with a file of the disk as its /input, by range: it is never held. Gives the code with which it ended. */
function withInput(core: WasmCore, file: string, work: () => number): number | 'crashed' {
  const descriptor = openSync(file, 'r');
  core.FS.writeFile('/input', new Uint8Array());
  const { node } = core.FS.lookupPath('/input');
  node.usedBytes = statSync(file).size;
  node.stream_ops = {
    ...node.stream_ops,
    read: (_stream: unknown, buffer: Int8Array, offset: number, length: number, position: number) =>
      readSync(descriptor, buffer, offset, length, position),
  };
  try {
    return work();
  } catch (thrown) {
    const { name, status } = thrown as { readonly name?: string; readonly status?: number };
    // Left by its own exit, or a trap of WebAssembly. All else, such as a full disk, is ours.
    if (name === 'ExitStatus') return status ?? 1;
    if (name === 'RuntimeError') return 'crashed';
    throw thrown;
  } finally {
    closeSync(descriptor);
    node.usedBytes = 0;
    core.FS.unlink('/input');
  }
}

function storedFrames(held: HeldFrames, complained: boolean): FrameStream {
  let position = 0;
  return {
    next() {
      const frame = held.frame(position);
      position += 1;
      return Promise.resolve(frame);
    },
    complained: () => complained,
    close: () => held.close(),
  };
}
