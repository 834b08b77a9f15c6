import type { OpenedHere } from '@chordae/codecs/browser';
import type { FanProposal } from '@chordae/contract';
import { detectSectorGeometry, type GrayFrame, proposeFan } from '@chordae/imaging';

/** Frames looked at, spread over the file: what moves beside a sector has to be seen moving. */
const FRAMES_LOOKED_AT = 12;

/** Whether the sector alone could leave of a file that lies here, as the server asks it of the clip; null where not. */
export async function fanOfOpened(opened: OpenedHere): Promise<FanProposal | null> {
  const { frameCount } = opened.description;
  const count = Math.min(frameCount, FRAMES_LOOKED_AT);
  const frames: GrayFrame[] = [];
  for (let n = 0; n < count; n += 1) {
    const at = count === 1 ? 0 : Math.round((n * (frameCount - 1)) / (count - 1));
    const frame = await opened.luma(at);
    if (!frame.ok) return null;
    frames.push(frame.value);
  }
  return proposeFan(frames, detectSectorGeometry(frames));
}
