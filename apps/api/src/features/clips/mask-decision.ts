import { decideMask } from '@chordae/codecs';
import type { ClipDescription, KeepBox, MaskDecisionSaid, routes } from '@chordae/contract';
import { boundingBox } from '@chordae/dicom';
import type { z } from 'zod';
import { AppError } from '../../platform/app-error';

export type MaskBody = z.infer<typeof routes.maskClip.body>;

/** The decision as it is kept. Refused where it leaves nothing visible, or asks for regions that the file does not have. */
export function maskBox(description: ClipDescription, body: MaskBody): KeepBox | null {
  if (body.kind === 'box') checkInside(description, body.box);
  if (body.kind === 'no-name-confirmed') return null;
  const cover = body.cover ?? [];
  const keep = keepSaid(body);
  const { boxes } = decideMask(description, cover.length === 0 ? keep : { keep, cover });
  const frame = boxes === null ? null : boundingBox(boxes);
  if (frame === null)
    throw new AppError(
      'FIELD_INVALID',
      {},
      { field: 'cover', message: 'cover: nothing of the picture would be left to see.' },
    );
  // An empty list is kept as well: somebody looked at the marks and found no name among them.
  return {
    ...(body.kind === 'box' ? body.box : frame),
    ...(body.kind === 'fan' ? { outline: body.outline } : {}),
    ...(body.cover === undefined ? {} : { cover }),
  };
}

function keepSaid(body: Exclude<MaskBody, { kind: 'no-name-confirmed' }>) {
  if (body.kind === 'box') return body.box;
  return body.kind === 'fan' ? { outline: body.outline } : ('auto' as const);
}

function checkInside({ widthPx, heightPx }: ClipDescription, { x0, y0, x1, y1 }: KeepBox): void {
  if (x0 >= 0 && y0 >= 0 && x1 < widthPx && y1 < heightPx && x1 > x0 && y1 > y0) return;
  throw new AppError(
    'FIELD_INVALID',
    {},
    {
      field: 'box',
      message: `box: it must lie inside the picture of ${widthPx} by ${heightPx} pixels.`,
    },
  );
}

/**
 * What was said of a file before it was read, where it can be true of it; null leaves the question open. 'No name' was said
 * of one picture: where unmoving, text-like places are found in the whole clip, its sender is asked again.
 */
export function decidedMask(
  description: ClipDescription,
  said: MaskDecisionSaid | null,
): { readonly mask: MaskDecisionSaid['kind']; readonly keepBox: KeepBox | null } | null {
  if (said === null) return null;
  if (said.kind === 'no-name-confirmed')
    return (description.stillMarks ?? []).length > 0 ? null : { mask: said.kind, keepBox: null };
  if (said.kind === 'fan') {
    const { boxes: rows } = decideMask(description, { outline: said.outline });
    const frame = rows === null ? null : boundingBox(rows);
    return frame === null ? null : { mask: 'fan', keepBox: { ...frame, outline: said.outline } };
  }
  const { boxes } = decideMask(description, said.box);
  return boxes?.[0] ? { mask: 'box', keepBox: boxes[0] } : null;
}
