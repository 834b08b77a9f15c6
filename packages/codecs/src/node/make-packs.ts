import type { Box, ClipDescription, Problem } from '@chordae/contract';
import type { Picture, Read } from '@chordae/dicom';
import { blackOutside, boundingBox, maskJpegBlocks, refuse } from '@chordae/dicom';
import { decideMask } from '../mask';
import type { FrameEncoding } from '../pack/frame-pack';
import { packVersion } from '../pack/frame-pack';
import type { ExactFrame, ExactFrameRequest, MadePacks, MakePacksRequest, WrittenPack } from '../reading';
import { usualLimits } from '../reading';
import { sha256OfFile } from './file-source';
import type { Original } from './original';
import { openOriginal } from './original';
import { OutputTooLarge, openPackWriter } from './pack-writer';
import { encodeJpeg, encodePng, encoderVersion, jpegDecodes } from './pictures';
import { StillMarks } from './still-marks';

/** Named in every pack's versions: what read the original. */
export const readerVersion = 'chordae-dicom-1';

interface CodedFrame {
  readonly bytes: Uint8Array;
  readonly encoding: FrameEncoding;
}

export interface MakePacksOptions {
  readonly outputMb?: number;
  /** Called when the own pack stands and the outgoing one is still being made. */
  readonly onOwn?: (pack: WrittenPack) => void;
}

/** Reads an original by ranges and writes its packs. Memory holds one or two decoded frames at a time, and up to 16 MB of coded ones. */
export async function makePacks(
  request: Omit<MakePacksRequest, 'kind'>,
  options: MakePacksOptions = {},
): Promise<Read<MadePacks>> {
  const opened = await openOriginal(request.originalPath);
  if (!opened.ok) return opened;
  const original = opened.value;
  try {
    // Looked for once, when the file is first read: a later decision is about the same marks.
    const marks = request.ownPath === null ? null : new StillMarks(original);
    return await packsOf(marks?.original ?? original, marks, request, options);
  } catch (thrown) {
    if (thrown instanceof OutputTooLarge) return refuse('OUTPUT_TOO_LARGE');
    throw thrown;
  } finally {
    await original.close();
  }
}

async function packsOf(
  original: Original,
  marks: StillMarks | null,
  request: Omit<MakePacksRequest, 'kind'>,
  options: MakePacksOptions,
): Promise<Read<MadePacks>> {
  const { description, machine } = original;
  const most = (options.outputMb ?? usualLimits.outputMb) * 1e6;
  const { mask, boxes } = decideMask(description, request.keep);
  let own: WrittenPack | null = null;
  if (request.ownPath !== null) {
    const written = await ownPack(original, request.ownPath, most);
    if (!written.ok) return written;
    own = written.value;
    options.onOwn?.(own);
  }
  const still = marks === null ? {} : { stillMarks: await marks.within(boxes) };
  let outgoing: WrittenPack | null = null;
  if (request.outgoingPath !== null && mask !== 'needs-decision') {
    const left = most - (own?.bytes ?? 0);
    const written = await writePack(description, request.outgoingPath, left, (frame) =>
      outgoingFrame(original, frame, boxes),
    );
    if (!written.ok) return written;
    outgoing = written.value;
  }
  return {
    ok: true,
    value: {
      kind: 'make-packs',
      description: {
        ...description,
        problems: [...description.problems, ...(original.lateProblems?.() ?? [])],
        ...still,
      },
      machine,
      mask,
      keepBoxes: boxes,
      keepBox: boxes === null ? null : boundingBox(boxes),
      own,
      outgoing,
      originalSha256: await sha256OfFile(request.originalPath),
      versions: { reader: readerVersion, packFormat: packVersion, encoder: encoderVersion },
    },
  };
}

/**
 * The own pack, once the first picture can be decoded. Frames that are kept as they came are written while it is decoded;
 * the pack gets its name only when it was.
 */
async function ownPack(original: Original, path: string, most: number): Promise<Read<WrittenPack>> {
  const came = await original.asItCame(0);
  const first = firstDecodes(original, came.ok ? came.value : null);
  // Its failure is met where it is waited for, perhaps after that of a frame.
  first.catch(() => null);
  // What has to be decoded to be written is not decoded twice at once: films are read in order.
  if (!came.ok || came.value === null) {
    const picture = await first;
    if (!picture.ok) return picture;
  }
  const make = (frame: number): Promise<Read<CodedFrame>> => ownFrame(original, frame);
  try {
    return await writePack(original.description, path, most, make, first);
  } finally {
    // However it ends, nothing reads the original any more afterwards.
    await first.catch(() => null);
  }
}

/** That there is a picture to show. A JPEG that is kept as it came is proved by itself, any other frame by being decoded. */
async function firstDecodes(original: Original, came: CodedFrame | null): Promise<Read<unknown>> {
  if (came?.encoding !== 'jpeg') return original.picture(0);
  const read = await jpegDecodes(came.bytes, original.description.widthPx);
  return read.ok ? read : refuse('FRAME_DAMAGED', { frame: 1 });
}

async function writePack(
  description: ClipDescription,
  path: string,
  mostBytes: number,
  make: (frame: number) => Promise<Read<CodedFrame>>,
  /** Must have come out well before the pack is finished; its refusal goes before those of later frames. */
  first: Promise<Read<unknown>> | null = null,
): Promise<Read<WrittenPack>> {
  const writer = await openPackWriter(path, description, mostBytes);
  try {
    // Two frames at a time: the codec runs outside the event loop, and two cores are what a small server has.
    for (let frame = 0; frame < description.frameCount; frame += 2) {
      const numbers = frame + 1 < description.frameCount ? [frame, frame + 1] : [frame];
      for (const made of await Promise.all(numbers.map(make))) {
        if (!made.ok) return (await refusalOf(first)) ?? made;
        await writer.add(made.value.bytes, made.value.encoding);
      }
    }
    const [refused] = await Promise.all([refusalOf(first), writer.durable()]);
    return refused ?? { ok: true, value: await writer.finish() };
  } catch (thrown) {
    const refused = thrown instanceof OutputTooLarge ? await refusalOf(first) : null;
    if (refused) return refused;
    throw thrown;
  } finally {
    await writer.abandon();
  }
}

async function refusalOf(
  first: Promise<Read<unknown>> | null,
): Promise<{ readonly ok: false; readonly problem: Problem } | null> {
  const read = await first;
  return read === null || read.ok ? null : read;
}

async function ownFrame(original: Original, frame: number): Promise<Read<CodedFrame>> {
  const came = await original.asItCame(frame);
  if (!came.ok) return came;
  if (came.value !== null) return { ok: true, value: came.value };
  const picture = await original.picture(frame);
  return picture.ok
    ? { ok: true, value: { bytes: await encodeJpeg(picture.value), encoding: 'jpeg' } }
    : picture;
}

async function outgoingFrame(
  original: Original,
  frame: number,
  boxes: readonly Box[] | null,
): Promise<Read<CodedFrame>> {
  const came = await original.asItCame(frame);
  if (!came.ok) return came;
  if (came.value?.encoding === 'jpeg') {
    // A JPEG stays one: what is visible is the very picture of the file, what is not is taken out before any decoding.
    const { widthPx, heightPx } = original.description;
    const all = [{ x0: 0, y0: 0, x1: widthPx - 1, y1: heightPx - 1 }];
    const masked = maskJpegBlocks(came.value.bytes, boxes ?? all);
    if (masked !== null) return { ok: true, value: { bytes: masked, encoding: 'jpeg' } };
  }
  const picture = await original.picture(frame);
  if (!picture.ok) return picture;
  const masked = masking(picture.value, boxes);
  if (original.description.format === 'png')
    return { ok: true, value: { bytes: await encodePng(masked), encoding: 'png' } };
  return { ok: true, value: { bytes: await encodeJpeg(masked), encoding: 'jpeg' } };
}

function masking(picture: Picture, boxes: readonly Box[] | null): Picture {
  if (boxes === null) return picture;
  const { pixels, widthPx, heightPx, channels } = picture;
  return { ...picture, pixels: blackOutside(pixels, widthPx, heightPx, channels, boxes) };
}

/** One frame as PNG with exact pixels, masked as what leaves unless 'own'. Refuses MASK_NOT_DECIDED where no mask is known. */
export async function exactFrame(request: Omit<ExactFrameRequest, 'kind'>): Promise<Read<ExactFrame>> {
  const opened = await openOriginal(request.originalPath);
  if (!opened.ok) return opened;
  const original = opened.value;
  try {
    const { frame, keep } = request;
    if (!Number.isInteger(frame) || frame < 0 || frame >= original.description.frameCount)
      return refuse('FRAME_NOT_THERE', { frame: frame + 1, frames: original.description.frameCount });
    const decision = keep === 'own' ? null : decideMask(original.description, keep);
    if (decision?.mask === 'needs-decision') return refuse('MASK_NOT_DECIDED');
    const picture = await original.picture(frame);
    if (!picture.ok) return picture;
    const png = await encodePng(masking(picture.value, decision?.boxes ?? null));
    const { widthPx, heightPx } = picture.value;
    return { ok: true, value: { kind: 'exact-frame', png, widthPx, heightPx } };
  } finally {
    await original.close();
  }
}
