import type { Inspected } from '@chordae/codecs';
import type { Analysis, Box, FanProposal } from '@chordae/contract';
import { sayFan } from '@chordae/words';

/** What would leave the practice, in numbers and a sentence; `fan` where the file leaves it to a person. */
export function analysedMask(read: Inspected, fan: FanProposal | null): NonNullable<Analysis['mask']> {
  const { description, mask, keepBoxes, stillMarks } = read;
  const { widthPx, heightPx } = description;
  const covered =
    keepBoxes === null ? null : 1 - unionArea(keepBoxes, widthPx, heightPx) / (widthPx * heightPx);
  const marks =
    description.frameCount < 2
      ? ' Marks that do not move cannot be told on a still: look for a name.'
      : stillMarks.length === 0
        ? ''
        : ` Inside, ${stillMarks.length === 1 ? 'one place looks' : `${stillMarks.length} places look`} like unmoving text: look for a name.`;
  const sentence =
    covered === null
      ? `The file does not say where the picture ends: a person has to decide what may leave.${fan === null ? '' : ` ${sayFan(fan)}`}${marks}`
      : `${Math.round(100 * covered)} % of the picture would be covered.${marks}`;
  return {
    state: mask,
    keepBoxes: keepBoxes === null ? null : [...keepBoxes],
    coveredShare: covered === null ? null : Math.round(covered * 10_000) / 10_000,
    stillMarks: [...stillMarks],
    ...(keepBoxes === null ? { fan } : {}),
    sentence,
  };
}

function unionArea(boxes: readonly Box[], widthPx: number, heightPx: number): number {
  const seen = new Uint8Array(widthPx * heightPx);
  for (const box of boxes)
    for (let y = Math.max(0, box.y0); y <= Math.min(heightPx - 1, box.y1); y += 1)
      seen.fill(1, y * widthPx + Math.max(0, box.x0), y * widthPx + Math.min(widthPx - 1, box.x1) + 1);
  return seen.reduce((sum, one) => sum + one, 0);
}
