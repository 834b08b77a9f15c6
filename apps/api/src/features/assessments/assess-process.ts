/** Entry of the process that looks at the frames of one pack: takes one request over IPC, answers once, ends. */
import { open } from 'node:fs/promises';
import { lumaFromRgb, packHeadBytes, readPackHead, readPackIndex } from '@chordae/codecs';
import { decodePicture } from '@chordae/codecs/node';
import type { Assessment } from '@chordae/contract';
import type { AssessOptions, GrayFrame } from '@chordae/imaging';
import { assessClip, mostFrames } from '@chordae/imaging';

export interface AssessRequest {
  readonly packPath: string;
  readonly options: AssessOptions;
}
export type AssessAnswer =
  | { readonly ok: true; readonly value: Assessment }
  | { readonly ok: false; readonly problem: { readonly code: string } };

async function framesOf(packPath: string): Promise<GrayFrame[] | string> {
  const file = await open(packPath, 'r');
  try {
    const read = async (offset: number, length: number): Promise<Uint8Array> => {
      const bytes = new Uint8Array(length);
      const { bytesRead } = await file.read(bytes, 0, length, offset);
      return bytes.subarray(0, bytesRead);
    };
    const head = readPackHead(await read(0, packHeadBytes));
    if (!head.ok) return head.code;
    const index = readPackIndex(await read(0, head.value.indexEnd));
    if (!index.ok) return index.code;
    const frames: GrayFrame[] = [];
    for (const frame of index.value.frames.slice(0, mostFrames)) {
      const picture = await decodePicture(await read(frame.offset, frame.sizeBytes));
      if (!picture.ok) return picture.problem.code;
      const { widthPx, heightPx, channels, pixels } = picture.value;
      frames.push({ widthPx, heightPx, luma: channels === 1 ? pixels : lumaFromRgb(pixels) });
    }
    return frames;
  } finally {
    await file.close();
  }
}

async function answer(request: AssessRequest): Promise<AssessAnswer> {
  const frames = await framesOf(request.packPath);
  if (typeof frames === 'string') return { ok: false, problem: { code: frames } };
  return { ok: true, value: assessClip(frames, request.options) };
}

process.once('message', (message: { request: AssessRequest }) => {
  void answer(message.request)
    .catch((): AssessAnswer => ({ ok: false, problem: { code: 'DECODER_CRASHED' } }))
    .then((result) =>
      process.send?.({ kind: 'result', result }, undefined, undefined, () => process.exit(0)),
    );
});
process.once('disconnect', () => process.exit(2));
