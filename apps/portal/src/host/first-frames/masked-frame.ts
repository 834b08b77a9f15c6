import { decideMask, type Keep } from '@chordae/codecs';
import type { OpenedHere, ShownFrame } from '@chordae/codecs/browser';
import type { Box, MaskDecisionSaid } from '@chordae/contract';
import { boxesWithout, findStillMarks, StillnessMap } from '@chordae/dicom';

/** About as many as the server compares; fewer than four cannot tell what moves. */
const FRAMES_COMPARED = 8;

export type MaskedFrame =
  | { readonly kind: 'masked'; readonly frame: ShownFrame }
  /** The file does not say where its picture ends: nothing leaves until a person decides. */
  | { readonly kind: 'needs-decision'; readonly frame: ShownFrame }
  | { readonly kind: 'none'; readonly code: string };

const keepOf = (said: MaskDecisionSaid | null): Keep => {
  if (said === null) return 'auto';
  if (said.kind === 'fan') return { outline: said.outline };
  return said.kind === 'box' ? said.box : 'all';
};

/**
 * The first frame of a file as it may leave: what the file's own regions or a person's word leave visible, and of that
 * nothing that does not move, since that may be text; except where a person said that no name is there, and where fewer than
 * four frames can be compared. Where frames that are there cannot be compared, nothing leaves.
 */
export async function maskedFirstFrame(
  opened: OpenedHere,
  said: MaskDecisionSaid | null,
): Promise<MaskedFrame> {
  const { description } = opened;
  const first = await opened.shown(0);
  if (!first.ok) return { kind: 'none', code: first.problem.code };
  const { mask, boxes } = decideMask(description, keepOf(said));
  if (mask === 'needs-decision') return { kind: 'needs-decision', frame: first.value };
  if (boxes === null) return { kind: 'masked', frame: first.value };
  // A slanted border cuts words into pieces that look like none: of a sector they are looked for in the whole picture.
  const still = await stillMarksOf(opened, mask === 'fan' ? null : boxes);
  if (!still.ok) return { kind: 'none', code: still.code };
  return { kind: 'masked', frame: onlyInside(first.value, boxesWithout(boxes, still.marks)) };
}

async function stillMarksOf(
  opened: OpenedHere,
  boxes: readonly Box[] | null,
): Promise<{ readonly ok: true; readonly marks: Box[] } | { readonly ok: false; readonly code: string }> {
  const { frameCount, widthPx, heightPx } = opened.description;
  const map = new StillnessMap(widthPx, heightPx);
  const step = Math.max(1, Math.floor(frameCount / FRAMES_COMPARED));
  for (let n = 0; n < frameCount; n += step) {
    const frame = await opened.luma(n);
    if (!frame.ok) return { ok: false, code: frame.problem.code };
    map.add({ widthPx, heightPx, channels: 1, pixels: frame.value.luma });
  }
  return { ok: true, marks: findStillMarks(map, boxes) };
}

/** A copy with every pixel outside the boxes black; the fourth channel, where there is one, stays opaque. */
function onlyInside(frame: ShownFrame, boxes: readonly Box[]): ShownFrame {
  const { widthPx, heightPx, channels } = frame;
  const pixels = new Uint8ClampedArray(frame.pixels.length);
  if (channels === 4) for (let at = 3; at < pixels.length; at += 4) pixels[at] = 255;
  for (const { x0, y0, x1, y1 } of boxes)
    for (let y = Math.max(0, y0); y <= Math.min(heightPx - 1, y1); y += 1) {
      const from = (y * widthPx + Math.max(0, x0)) * channels;
      const to = (y * widthPx + Math.min(widthPx - 1, x1) + 1) * channels;
      pixels.set(frame.pixels.subarray(from, to), from);
    }
  return { ...frame, pixels };
}
