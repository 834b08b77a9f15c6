import type { ChildProcessByStdio } from 'node:child_process';
import { spawn, spawnSync } from 'node:child_process';
import type { Readable } from 'node:stream';
import { refuse } from '@chordae/dicom';
import type { Demuxer, FilmDecoder, FilmHead, FrameStream } from './film-decoder';
import { handedBytes, handedRgb } from './film-decoder';
import { probeEntries, readProbe } from './probe-json';
import { framehashArguments, readFramehash } from './repeats';

/** Address space in kB and processor seconds for one run of the program; it dies with its pipe when this process does. */
const mostAddressKb = 3_000_000;
const mostCpuSeconds = 300;
const mostProbeBytes = 16_000_000;

const quiet = ['-nostdin', '-v', 'error', '-threads', '1'];

/** Only a plain file, only this container: no protocol by which a file could reach others. */
function input(path: string, demuxer: Demuxer): string[] {
  return ['-protocol_whitelist', 'file,pipe', '-f', demuxer, '-i', `file:${path}`];
}

type Child = ChildProcessByStdio<null, Readable, Readable>;

function start(program: string, args: readonly string[]): Child {
  // `ulimit` where the shell has it; the program's name and arguments are never read as shell text.
  const bounded = `ulimit -v ${mostAddressKb} 2>/dev/null; ulimit -t ${mostCpuSeconds} 2>/dev/null; exec "$0" "$@"`;
  const command = process.platform === 'win32' ? program : '/bin/sh';
  const parameters = process.platform === 'win32' ? args : ['-c', bounded, program, ...args];
  return spawn(command, parameters, { stdio: ['ignore', 'pipe', 'pipe'] });
}

/** The system's ffmpeg with its ffprobe; null where they are not installed. */
export function systemFfmpeg(): FilmDecoder | null {
  const there = ['ffmpeg', 'ffprobe'].every(
    (program) => spawnSync(program, ['-version'], { stdio: 'ignore', timeout: 10_000 }).status === 0,
  );
  if (!there) return null;
  return {
    name: 'ffmpeg',
    async head(path, demuxer) {
      const args = ['-v', 'error', '-threads', '1', '-select_streams', 'v:0', '-show_entries', probeEntries];
      const json = await textOf(start('ffprobe', [...args, '-of', 'json', ...input(path, demuxer)]));
      return json === null ? refuse('FILM_DAMAGED') : readProbe(json);
    },
    frames: (path, demuxer, head) => Promise.resolve(frameStream(path, demuxer, head)),
    async hashes(path, demuxer) {
      const text = await textOf(
        start('ffmpeg', [...quiet, ...input(path, demuxer), ...framehashArguments, 'pipe:1']),
      );
      return text === null ? null : readFramehash(text);
    },
  };
}

async function textOf(child: Child): Promise<string | null> {
  child.stderr.resume();
  const pieces: Buffer[] = [];
  let bytes = 0;
  for await (const piece of child.stdout) {
    bytes += (piece as Buffer).length;
    if (bytes > mostProbeBytes) {
      child.kill('SIGKILL');
      return null;
    }
    pieces.push(piece as Buffer);
  }
  return Buffer.concat(pieces).toString('utf8');
}

/** Arguments that turn a film into raw frames, RGB or as coded, none dropped, none doubled. */
export function rawFrameArguments(head: FilmHead): string[] {
  const lines = head.interlaced ? ['-vf', 'yadif=mode=0:deint=1'] : [];
  const exact = ['-sws_flags', 'bicubic+accurate_rnd+full_chroma_int+bitexact'];
  const pixels = ['-pix_fmt', head.yuv?.pixelFormat ?? 'rgb24'];
  return ['-map', '0:v:0', ...lines, ...exact, '-fps_mode', 'passthrough', ...pixels, '-f', 'rawvideo'];
}

function frameStream(path: string, demuxer: Demuxer, head: FilmHead): FrameStream {
  const child = start('ffmpeg', [...quiet, ...input(path, demuxer), ...rawFrameArguments(head), 'pipe:1']);
  const gone = new Promise<void>((resolve) => {
    child.once('error', () => resolve());
    child.once('close', () => resolve());
  });
  let complained = false;
  child.stderr.on('data', () => {
    complained = true;
  });
  const pieces = child.stdout[Symbol.asyncIterator]() as AsyncIterator<Buffer>;
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
      return handedRgb(frame, head);
    },
    complained: () => complained,
    async close() {
      child.kill('SIGKILL');
      child.stdout.destroy();
      await gone;
    },
  };
}
