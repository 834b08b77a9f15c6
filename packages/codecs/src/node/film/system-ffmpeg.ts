import type { ChildProcess } from 'node:child_process';
import { spawn, spawnSync } from 'node:child_process';
import type { Readable } from 'node:stream';
import type { Demuxer, FilmDecoder, FilmHead, FilmRun, FrameStream } from './film-decoder';
import { handedBytes } from './film-decoder';
import { mostlyErrors, rawFrameArguments, runArguments } from './run-arguments';

/** Address space in kB, processor seconds and file size in blocks of 512 bytes for one run of the program; it dies with its pipes when this process does. */
const mostAddressKb = 3_000_000;
const mostCpuSeconds = 300;
const mostFileBlocks = 4_000_000;
const mostTextBytes = 16_000_000;

const quiet = ['-nostdin', '-v', 'error', '-threads', '1'];

/** Only a plain file, only this container: no protocol by which a file could reach others. */
function input(path: string, demuxer: Demuxer): string[] {
  return ['-protocol_whitelist', 'file,pipe', '-f', demuxer, '-i', `file:${path}`];
}

/** Starts it with pipes for what it says and complains, and `more` of them, numbered from 3. */
function start(program: string, args: readonly string[], more = 0): ChildProcess {
  // `ulimit` where the shell has it; the program's name and arguments are never read as shell text.
  const limits = [`-v ${mostAddressKb}`, `-t ${mostCpuSeconds}`, `-f ${mostFileBlocks}`];
  const bounded = `${limits.map((limit) => `ulimit ${limit} 2>/dev/null;`).join(' ')} exec "$0" "$@"`;
  const command = process.platform === 'win32' ? program : '/bin/sh';
  const parameters = process.platform === 'win32' ? args : ['-c', bounded, program, ...args];
  const pipes = Array.from({ length: 2 + more }, () => 'pipe' as const);
  return spawn(command, parameters, { stdio: ['ignore', ...pipes] });
}

/** The system's ffmpeg with its ffprobe; null where they are not installed. */
export function systemFfmpeg(): FilmDecoder | null {
  const there = ['ffmpeg', 'ffprobe'].every(
    (program) => spawnSync(program, ['-version'], { stdio: 'ignore', timeout: 10_000 }).status === 0,
  );
  if (!there) return null;
  return {
    name: 'ffmpeg',
    besides: true,
    probe(path, demuxer, entries) {
      const args = ['-v', 'error', '-threads', '1', '-select_streams', 'v:0', '-show_entries', entries];
      const child = start('ffprobe', [...args, '-of', 'json', ...input(path, demuxer)]);
      child.stderr?.resume();
      return textOf(child, 1);
    },
    run(path, demuxer, how, held, stop) {
      const raw = { raw: `file:${held.path}`, rawFrames: held.frames };
      const outputs = runArguments(how, { frames: 'pipe:1', strips: 'pipe:3', ...raw });
      // Where each frame was shown, by the file's own clock, also where that starts anew.
      const times = ['-copyts'];
      const child = start('ffmpeg', [...quiet, ...times, '-y', ...input(path, demuxer), ...outputs], 1);
      stop?.addEventListener('abort', () => child.kill('SIGKILL'), { once: true });
      return runOf(child);
    },
    frames: (path, demuxer, head) => Promise.resolve(frameStream(path, demuxer, head)),
  };
}

/** By which a limit ends a program: ours on what it says, the system's on its time and its files. */
const limiting: readonly (NodeJS.Signals | null)[] = ['SIGKILL', 'SIGXCPU', 'SIGXFSZ'];

function endOf(child: ChildProcess): Promise<FilmRun['ended']> {
  return new Promise((resolve) => {
    child.once('error', () => resolve('badly'));
    child.once('close', (code, signal) => {
      if (signal !== null) resolve(limiting.includes(signal) ? 'stopped' : 'crashed');
      else resolve(code === 0 || code === mostlyErrors ? 'well' : 'badly');
    });
  });
}

async function runOf(child: ChildProcess): Promise<FilmRun> {
  const end = endOf(child);
  const complained = complaintsOf(child);
  const [frames, strips] = await Promise.all([1, 3].map((pipe) => textOf(child, pipe)));
  const ended = await end;
  return { frames: frames ?? '', strips: strips ?? '', ended, complained: complained() };
}

function complaintsOf(child: ChildProcess): () => boolean {
  let complained = false;
  child.stderr?.on('data', () => {
    complained = true;
  });
  return () => complained;
}

/** All that comes through a pipe; null, and the program ended, where that is more than any film's list. */
async function textOf(child: ChildProcess, pipe: number): Promise<string | null> {
  const pieces: Buffer[] = [];
  let bytes = 0;
  for await (const piece of (child.stdio[pipe] ?? []) as AsyncIterable<Buffer>) {
    bytes += piece.length;
    if (bytes > mostTextBytes) {
      child.kill('SIGKILL');
      return null;
    }
    pieces.push(piece);
  }
  return Buffer.concat(pieces).toString('utf8');
}

function frameStream(path: string, demuxer: Demuxer, head: FilmHead): FrameStream {
  const child = start('ffmpeg', [...quiet, ...input(path, demuxer), ...rawFrameArguments(head), 'pipe:1']);
  const gone = endOf(child);
  const complained = complaintsOf(child);
  const output = child.stdout as Readable;
  const pieces = output[Symbol.asyncIterator]() as AsyncIterator<Buffer>;
  const frameBytes = handedBytes(head);
  let left: Buffer = Buffer.alloc(0);
  return {
    async next() {
      const frame = new Uint8Array(frameBytes);
      let filled = 0;
      while (filled < frameBytes) {
        if (left.length === 0) {
          const piece = await pieces.next();
          if (piece.done === true) return null;
          left = piece.value;
        }
        const part = left.subarray(0, frameBytes - filled);
        frame.set(part, filled);
        filled += part.length;
        left = left.subarray(part.length);
      }
      return frame;
    },
    complained,
    async close() {
      child.kill('SIGKILL');
      output.destroy();
      await gone;
    },
  };
}
