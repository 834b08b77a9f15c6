import type { FilmDecoder } from './film-decoder';
import { systemFfmpeg } from './system-ffmpeg';
import { wasmFfmpeg } from './wasm-ffmpeg';

let chosen: Promise<FilmDecoder | null> | null = null;

/** The decoder for films that are not read here: the system's program first, else the optional WebAssembly one, else none. */
export function filmDecoder(): Promise<FilmDecoder | null> {
  chosen ??= Promise.resolve(systemFfmpeg() ?? wasmFfmpeg());
  return chosen;
}
