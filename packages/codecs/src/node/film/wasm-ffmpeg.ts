import {
  closeSync,
  existsSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { refuse } from '@chordae/dicom';
import type { FilmDecoder, FilmHead, FrameStream } from './film-decoder';
import { handedBytes, handedRgb } from './film-decoder';
import { probeEntries, readProbe } from './probe-json';
import { framehashArguments, readFramehash } from './repeats';
import { rawFrameArguments } from './system-ffmpeg';

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
  return {
    name: 'ffmpeg (WebAssembly)',
    async head(file, demuxer) {
      const program = await load();
      return withInput(program, file, () => {
        const what = [
          '-select_streams',
          'v:0',
          '-show_entries',
          probeEntries,
          '-of',
          'json',
          '-o',
          '/probe.json',
        ];
        program.ffprobe('-v', 'error', ...what, '-f', demuxer, '-i', '/input');
        try {
          const json = Buffer.from(program.FS.readFile('/probe.json')).toString('utf8');
          program.FS.unlink('/probe.json');
          return readProbe(json);
        } catch {
          return refuse('FILM_DAMAGED');
        }
      });
    },
    async hashes(file, demuxer) {
      const program = await load();
      return withInput(program, file, () => {
        program.exec(
          '-nostdin',
          '-v',
          'error',
          '-f',
          demuxer,
          '-i',
          '/input',
          ...framehashArguments,
          '/hashes',
        );
        try {
          const text = Buffer.from(program.FS.readFile('/hashes')).toString('utf8');
          program.FS.unlink('/hashes');
          return readFramehash(text);
        } catch {
          return null;
        }
      });
    },
    async frames(file, demuxer, head) {
      const program = await load();
      const folder = await mkdtemp(path.join(tmpdir(), 'chordae-film-'));
      const raw = path.join(folder, 'frames');
      const before = complaints;
      output = { descriptor: openSync(raw, 'w'), written: 0 };
      try {
        withInput(program, file, () =>
          program.exec(
            '-nostdin',
            '-v',
            'error',
            '-f',
            demuxer,
            '-i',
            '/input',
            ...rawFrameArguments(head),
            '/output',
          ),
        );
      } finally {
        closeSync(output.descriptor);
        output = null;
      }
      return storedFrames(raw, folder, head, complaints > before);
    },
  };
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
    print: () => undefined,
    printErr: () => {
      complaints += 1;
    },
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

/** Shows a file of the disk to the program as /input, by range: it is never held. */
function withInput<T>(core: WasmCore, file: string, work: () => T): T {
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
  } finally {
    closeSync(descriptor);
    node.usedBytes = 0;
    core.FS.unlink('/input');
  }
}

function storedFrames(raw: string, folder: string, head: FilmHead, complained: boolean): FrameStream {
  const descriptor = openSync(raw, 'r');
  const frameBytes = handedBytes(head);
  let position = 0;
  let open = true;
  return {
    next() {
      const frame = new Uint8Array(frameBytes);
      const got = readSync(descriptor, frame, 0, frameBytes, position);
      position += frameBytes;
      return Promise.resolve(got < frameBytes ? null : handedRgb(frame, head));
    },
    complained: () => complained,
    close() {
      if (open) {
        open = false;
        closeSync(descriptor);
        rmSync(folder, { recursive: true, force: true });
      }
      return Promise.resolve();
    },
  };
}
