import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import type { Demuxer, FilmDecoder, FilmHead, FilmHeader, FilmRun, Handing } from './film-decoder';
import { isWoven, readHead } from './film-head';
import { headerEntries, readHeader } from './film-header';
import type { HeldFrames } from './held-frames';
import { openHeldFrames } from './held-frames';
import { mostFrames } from './run-arguments';
import { yuvBytes } from './yuv';

/** Raw frames that lie on the disk while a film is read, in bytes: some 800 of 1024 by 768. A longer film is decoded again. */
const mostHeldBytes = 1_000_000_000;

export interface FilmReading {
  readonly head: FilmHead;
  /** The first frames, as they are handed over. */
  readonly held: HeldFrames;
  /** true when the decoder complained about the film: what it gave may be painted over a gap. */
  readonly complained: boolean;
}

/** Decodes a film once: its size, its times, its repeats and, as far as they may be held, its frames. */
export async function readFilm(
  decoder: FilmDecoder,
  file: string,
  demuxer: Demuxer,
  mostBytes = mostHeldBytes,
): Promise<Read<FilmReading>> {
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-film-'));
  const removed = (): Promise<void> => rm(folder, { recursive: true, force: true });
  const raw = path.join(folder, 'frames');
  const early = beginEarly(decoder, file, demuxer, raw);
  let kept = false;
  try {
    const json = await decoder.probe(file, demuxer, headerEntries);
    const header = json === null ? refuse('FILM_DAMAGED') : readHeader(json);
    const usable = header.ok && isAsGuessed(header.value, mostBytes) ? early : null;
    if (usable === null) await early?.stopped();
    if (!header.ok) return header;
    const holding = { path: raw, bytes: mostBytes };
    const run = await runThrough(decoder, file, demuxer, header.value, holding, usable?.run ?? null);
    // What a limit cut off is no shorter film.
    if (run.ended === 'stopped') return refuse('DECODER_TIMED_OUT');
    if (run.ended === 'crashed') return refuse('FILM_DAMAGED');
    const head = readHead(header.value, run, demuxer);
    if ('differs' in head) return await sizeDiffers(decoder, file, demuxer, head.differs);
    if (!head.ok) return head;
    kept = true;
    const held = openHeldFrames(raw, head.value, removed);
    return { ok: true, value: { head: head.value, held, complained: run.complained } };
  } finally {
    if (!kept) {
      await early?.stopped();
      await removed();
    }
  }
}

/** What most films of phones and clinics are: a run for it begins while the film is still being asked what it is. */
const guess: Handing = {
  yuv: { pixelFormat: 'yuv420p', matrix: 601, fullRange: false },
  interlaced: false,
};

/** Only where the answer will tell how many frames there are: what is held must stay within bounds. */
function beginEarly(
  decoder: FilmDecoder,
  file: string,
  demuxer: Demuxer,
  raw: string,
): { readonly run: Promise<FilmRun>; stopped(): Promise<void> } | null {
  if (!decoder.besides || demuxer !== 'mov') return null;
  const stop = new AbortController();
  const run = decoder.run(file, demuxer, guess, { path: raw, frames: mostFrames }, stop.signal);
  return {
    run,
    async stopped() {
      stop.abort();
      await run;
      await rm(raw, { force: true });
    },
  };
}

/** The matrix does not matter to the decoder: colours are turned here. */
function isAsGuessed(header: FilmHeader, mostBytes: number): boolean {
  return (
    header.yuv?.pixelFormat === 'yuv420p' &&
    !header.interlaced &&
    header.frameCount !== null &&
    header.frameCount <= framesWithin(header, mostBytes)
  );
}

async function runThrough(
  decoder: FilmDecoder,
  file: string,
  demuxer: Demuxer,
  header: FilmHeader,
  held: { readonly path: string; readonly bytes: number },
  begun: Promise<FilmRun> | null,
): Promise<FilmRun> {
  const frames = framesWithin(header, held.bytes);
  const go = (how: Handing, most: number): Promise<FilmRun> =>
    decoder.run(file, demuxer, how, { path: held.path, frames: most });
  let run = await (begun ?? go(header, frames));
  // Only its frames tell: their moments must be taken apart before they are held.
  const woven = !header.interlaced && isWoven(run);
  const how = woven ? { ...header, interlaced: true } : header;
  if (woven && run.ended === 'well') run = await go(how, frames);
  if (run.ended !== 'badly' || frames === 0) return run;
  // A full disk, perhaps: then nothing is held.
  await rm(held.path, { force: true });
  return go(how, 0);
}

/** Held of a film that does not fit: its start shows at once, all else goes through the decoder again from there. */
const start = 16;

function framesWithin(header: FilmHeader, bytes: number): number {
  const { codedWidthPx, codedHeightPx, yuv, frameCount } = header;
  const each = yuv === null ? 3 * codedWidthPx * codedHeightPx : yuvBytes(codedWidthPx, codedHeightPx);
  const fit = each === 0 ? 0 : Math.min(mostFrames, Math.floor(bytes / each));
  return frameCount !== null && frameCount > fit ? Math.min(start, fit) : fit;
}

/** Asked only where a film is refused for it. */
async function sizeDiffers(
  decoder: FilmDecoder,
  file: string,
  demuxer: Demuxer,
  place: number,
): Promise<ReturnType<typeof refuse>> {
  const json = await decoder.probe(file, demuxer, 'frame=width,height');
  let frame: { readonly width?: number; readonly height?: number } = {};
  try {
    frame = (JSON.parse(json ?? '') as { frames?: (typeof frame)[] }).frames?.[place] ?? {};
  } catch {
    // The sentence does without.
  }
  const { width: widthPx, height: heightPx } = frame;
  return refuse('FRAME_SIZE_DIFFERS', {
    frame: place + 1,
    ...(widthPx === undefined || heightPx === undefined ? {} : { widthPx, heightPx }),
  });
}
