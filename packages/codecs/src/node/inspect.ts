import { createHash } from 'node:crypto';
import type { Read } from '@chordae/dicom';
import { findStillMarks, StillnessMap } from '@chordae/dicom';
import { decideMask } from '../mask';
import type { Inspected, InspectRequest } from '../reading';
import { sha256OfFile } from './file-source';
import { openOriginal } from './original';

/** Opens an original and decodes every frame of it, writing nothing: to say what it is and whether it can be trusted. */
export async function inspect(request: Omit<InspectRequest, 'kind'>): Promise<Read<Inspected>> {
  const opened = await openOriginal(request.originalPath);
  if (!opened.ok) return opened;
  const original = opened.value;
  try {
    const { description, machine } = original;
    const hash = createHash('sha256');
    const stillness = new StillnessMap(description.widthPx, description.heightPx);
    for (let frame = 0; frame < description.frameCount; frame += 1) {
      const picture = await original.picture(frame);
      if (!picture.ok) return picture;
      hash.update(picture.value.pixels);
      stillness.add(picture.value);
    }
    const { mask, boxes } = decideMask(description, 'auto');
    const problems = [...description.problems, ...(original.lateProblems?.() ?? [])];
    return {
      ok: true,
      value: {
        kind: 'inspect',
        description: { ...description, problems },
        machine,
        mask,
        keepBoxes: boxes,
        stillMarks: findStillMarks(stillness, boxes),
        framesDecoded: description.frameCount,
        pixelsSha256: hash.digest('hex'),
        originalSha256: await sha256OfFile(request.originalPath),
      },
    };
  } finally {
    await original.close();
  }
}
