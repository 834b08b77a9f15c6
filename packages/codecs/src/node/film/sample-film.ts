import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { FilmDecoder } from './film-decoder';
import { systemFfmpeg } from './system-ffmpeg';
import { wasmCore, wasmFfmpeg } from './wasm-ffmpeg';

/** For tests: films made by the system's ffmpeg, else by the optional WebAssembly build, from drawn frames. */
const load = wasmCore();
const program = systemFfmpeg();
const hasProgram = program !== null;

export const canMakeFilms = hasProgram || load !== null;

const there = [program, wasmFfmpeg()].filter((decoder) => decoder !== null);

/**
 * For `describe.skipIf(!canMakeFilms).each`: every decoder that is there, by name. Without any, one that is none, so that what
 * is not run is listed as such: a list of nothing has no tests.
 */
export const filmReaders: readonly (readonly [string, FilmDecoder])[] =
  there.length > 0
    ? there.map((decoder) => [decoder.name, decoder] as const)
    : [['a decoder (none is installed)', null as unknown as FilmDecoder]];

export const [filmWidth, filmHeight, filmFrames] = [64, 48, 8];

/** A bright square on grey that moves by six pixels each frame and lies at the top: turn and order show. */
export function filmFrame(n: number, wide = filmWidth, high = filmHeight): Uint8Array {
  return Uint8Array.from({ length: 3 * wide * high }, (_, at) => {
    const [x, y] = [Math.floor(at / 3) % wide, Math.floor(at / 3 / wide)];
    return x >= 6 * n && x < 6 * n + 12 && y >= 4 && y < 16 ? 230 : 60;
  });
}

export interface FilmMaking {
  readonly frames?: readonly Uint8Array[];
  readonly size?: readonly [number, number];
  readonly args: readonly string[];
  readonly ending: string;
  /** Arguments of a second pass that copies the coded frames. */
  readonly copying?: readonly string[];
}

/** Makes a film of raw frames at 25 a second in a folder; gives its place. */
export async function makeFilm(
  folder: string,
  name: string,
  { frames, size = [filmWidth, filmHeight], args, ending, copying }: FilmMaking,
): Promise<string> {
  const pictures = frames ?? Array.from({ length: filmFrames }, (_, n) => filmFrame(n, ...size));
  const raw = new Uint8Array(Buffer.concat(pictures));
  const input = ['-f', 'rawvideo', '-pix_fmt', 'rgb24', '-s', size.join('x'), '-r', '25'];
  const file = join(folder, `${name}.${ending}`.replaceAll(/[ ,]/g, '-'));
  if (hasProgram) {
    writeFileSync(`${file}.raw`, raw);
    const coded = copying === undefined ? file : `${file}.coded.${ending}`;
    execFileSync('ffmpeg', ['-v', 'error', '-y', ...input, '-i', `${file}.raw`, ...args, coded]);
    if (copying !== undefined)
      execFileSync('ffmpeg', ['-v', 'error', '-y', '-i', coded, '-c', 'copy', ...copying, file]);
    return file;
  }
  if (load === null) throw new Error('nothing to make films with');
  // Anew for each film: some of its encoders leave it broken.
  const core = await load();
  core.FS.writeFile('/raw', raw);
  const coded = copying === undefined ? `/film.${ending}` : `/coded.${ending}`;
  core.exec('-nostdin', '-v', 'error', '-y', ...input, '-i', '/raw', ...args, coded);
  if (copying !== undefined)
    core.exec('-nostdin', '-v', 'error', '-y', '-i', coded, '-c', 'copy', ...copying, `/film.${ending}`);
  writeFileSync(file, core.FS.readFile(`/film.${ending}`));
  return file;
}
