import type { Box } from '@chordae/contract';
import { findStillMarks, StillnessMap } from '@chordae/dicom';
import type { Original } from './original';

/** Frames looked at for what does not move; more tell little more. */
const framesCompared = 8;

/** Looks for what does not move, at frames that are decoded for another reason where that is so: films go forwards only. */
export class StillMarks {
  /** To be read in place of the one that was given. */
  readonly original: Original;
  private readonly map: StillnessMap;
  private readonly step: number;
  private readonly seen = new Set<number>();

  constructor(given: Original) {
    const { frameCount, widthPx, heightPx } = given.description;
    this.map = new StillnessMap(widthPx, heightPx);
    this.step = Math.max(1, Math.floor(frameCount / framesCompared));
    this.original = {
      ...given,
      picture: async (frame) => {
        const picture = await given.picture(frame);
        if (picture.ok && frame % this.step === 0 && !this.seen.has(frame)) {
          this.seen.add(frame);
          this.map.add(picture.value);
        }
        return picture;
      },
    };
  }

  /** Text-like still places within the boxes that stay visible; null: the whole picture. */
  async within(boxes: readonly Box[] | null): Promise<Box[]> {
    const { frameCount } = this.original.description;
    for (let frame = 0; frame < frameCount; frame += this.step)
      if (!this.seen.has(frame)) await this.original.picture(frame);
    return findStillMarks(this.map, boxes);
  }
}
