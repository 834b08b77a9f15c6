import type { Box, ClipDescription, KeepBox } from '@chordae/contract';

/**
 * The rectangles of the picture that may be seen outside the practice: 2D, M-mode, spectral and trace regions that lie
 * in the picture, calibrated or not. null when there is none, or when together they leave (nearly) nothing covered:
 * then a person has to decide, because text may stand anywhere.
 */
export function outgoingKeepArea(description: ClipDescription): Box[] | null {
  const { widthPx, heightPx } = description;
  const boxes = description.regions
    .filter((region) => region.kind !== 'other' && region.whyNot !== 'REGION_BEYOND_PICTURE')
    .map(({ x0, y0, x1, y1 }) => ({ x0, y0, x1, y1 }));
  if (boxes.length === 0) return null;
  const largest = Math.max(...boxes.map((box) => (box.x1 - box.x0 + 1) * (box.y1 - box.y0 + 1)));
  return largest >= 0.98 * widthPx * heightPx ? null : boxes;
}

/** The pixels whose middles lie within a closed outline (x and y in turn), as boxes of whole rows. */
export function outlineRows(outline: readonly number[], widthPx: number, heightPx: number): Box[] {
  const count = Math.floor(outline.length / 2);
  const rows: Box[] = [];
  for (let y = 0; y < heightPx; y += 1) {
    const crossings: number[] = [];
    for (let n = 0; n < count; n += 1) {
      const next = (n + 1) % count;
      const [ax, ay] = [outline[2 * n] as number, outline[2 * n + 1] as number];
      const [bx, by] = [outline[2 * next] as number, outline[2 * next + 1] as number];
      if (ay <= y + 0.5 === by <= y + 0.5) continue;
      crossings.push(ax + ((y + 0.5 - ay) / (by - ay)) * (bx - ax));
    }
    crossings.sort((a, b) => a - b);
    for (let n = 0; n + 1 < crossings.length; n += 2) {
      const x0 = Math.max(0, Math.ceil((crossings[n] as number) - 0.5));
      const x1 = Math.min(widthPx - 1, Math.ceil((crossings[n + 1] as number) - 0.5) - 1);
      if (x0 <= x1) rows.push({ x0, y0: y, x1, y1: y });
    }
  }
  return rows;
}

/** Those of some boxes that have a pixel in common with what a decision leaves visible; null: all of it is. */
export function touchingKept(
  boxes: readonly Box[],
  keep: KeepBox | null,
  { widthPx, heightPx }: Pick<ClipDescription, 'widthPx' | 'heightPx'>,
): readonly Box[] {
  if (keep === null) return boxes;
  const rows = keep.outline === undefined ? [keep] : outlineRows(keep.outline, widthPx, heightPx);
  return boxes.filter(({ x0, y0, x1, y1 }) =>
    rows.some((row) => row.x0 <= x1 && row.x1 >= x0 && row.y0 <= y1 && row.y1 >= y0),
  );
}

/** Smallest box round several. */
export function boundingBox(boxes: readonly Box[]): Box | null {
  if (boxes.length === 0) return null;
  return {
    x0: Math.min(...boxes.map((box) => box.x0)),
    y0: Math.min(...boxes.map((box) => box.y0)),
    x1: Math.max(...boxes.map((box) => box.x1)),
    y1: Math.max(...boxes.map((box) => box.y1)),
  };
}

/** A copy with every pixel outside the boxes black. `pixels` has `channels` bytes a pixel, row by row. */
export function blackOutside(
  pixels: Uint8Array,
  widthPx: number,
  heightPx: number,
  channels: number,
  boxes: readonly Box[],
): Uint8Array {
  const out = new Uint8Array(pixels.length);
  for (const box of boxes) {
    const left = Math.max(0, box.x0);
    const right = Math.min(widthPx - 1, box.x1);
    if (right < left) continue;
    for (let y = Math.max(0, box.y0); y <= Math.min(heightPx - 1, box.y1); y += 1) {
      const from = (y * widthPx + left) * channels;
      const to = (y * widthPx + right + 1) * channels;
      out.set(pixels.subarray(from, to), from);
    }
  }
  return out;
}

/** What is left of boxes when others are cut out of them, as boxes again. */
export function boxesWithout(boxes: readonly Box[], cover: readonly Box[]): Box[] {
  let left: Box[] = boxes.map(({ x0, y0, x1, y1 }) => ({ x0, y0, x1, y1 }));
  for (const hole of cover) left = left.flatMap((box) => without(box, hole));
  return left;
}

function without(box: Box, hole: Box): Box[] {
  const [x0, y0] = [Math.max(box.x0, hole.x0), Math.max(box.y0, hole.y0)];
  const [x1, y1] = [Math.min(box.x1, hole.x1), Math.min(box.y1, hole.y1)];
  if (x0 > x1 || y0 > y1) return [box];
  return [
    { ...box, y1: y0 - 1 },
    { ...box, y0: y1 + 1 },
    { x0: box.x0, x1: x0 - 1, y0, y1 },
    { x0: x1 + 1, x1: box.x1, y0, y1 },
  ].filter((part) => part.x0 <= part.x1 && part.y0 <= part.y1);
}
