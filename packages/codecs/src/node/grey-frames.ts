import { open } from 'node:fs/promises';
import type { Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import { lumaFromRgb } from '../luma';
import type { GreyFrames, GreyFramesRequest } from '../reading';
import { usualLimits } from '../reading';
import { openOriginal } from './original';

/** Decodes the first frames of an original to luma, frame after frame in one file. Refuses FRAME_SIZE_DIFFERS, OUTPUT_TOO_LARGE and what the reader refuses. */
export async function greyFrames(
  request: Omit<GreyFramesRequest, 'kind'>,
  outputMb = usualLimits.outputMb,
): Promise<Read<GreyFrames>> {
  const opened = await openOriginal(request.originalPath);
  if (!opened.ok) return opened;
  const original = opened.value;
  const mostBytes = outputMb * 1e6;
  const out = await open(request.outPath, 'w');
  try {
    const { description } = original;
    const { widthPx, heightPx } = description;
    const frames = Math.min(request.mostFrames, description.frameCount);
    for (let frame = 0; frame < frames; frame += 1) {
      const picture = await original.picture(frame);
      if (!picture.ok) return picture;
      const { channels, pixels } = picture.value;
      const luma = channels === 1 ? pixels : lumaFromRgb(pixels);
      if (luma.length !== widthPx * heightPx)
        return refuse('FRAME_SIZE_DIFFERS', {
          frame: frame + 1,
          widthPx: picture.value.widthPx,
          heightPx: picture.value.heightPx,
        });
      if ((frame + 1) * luma.length > mostBytes) return refuse('OUTPUT_TOO_LARGE');
      await out.writeFile(luma);
    }
    return { ok: true, value: { kind: 'grey-frames', description, widthPx, heightPx, frames } };
  } finally {
    await out.close();
    await original.close();
  }
}
