import type { Box } from '@chordae/contract';
import type { Picture } from './pixels';

/**
 * Text inside a moving picture: letters do not move, the heart does. Found by pixels that stay bright and sharp-edged
 * through all frames, gathered into lines of text-like size. It points a person at places, it decides nothing: a mark on
 * a scale looks the same as a name, and a name drawn faintly may be missed. All limits are ours, tried on open clips.
 */

/** A pixel counts as still when it varies by no more than this through the clip; lossy coding alone moves it by up to 16. */
const stillRange = 24;
const brightLeast = 100;
/** How much darker a neighbour two pixels away must be for an edge of a letter. */
const edgeStep = 56;
/** Fewer frames cannot tell what moves. */
const fewestFrames = 4;
const cellPx = 8;
const fewestEdges = 3;
const tallestPx = 64;
const narrowestPx = 16;
/** A block of several lines is taken when so much of it holds letters. */
const tallestBlockPx = 240;
const filled = 0.35;
const mostMarks = 64;

interface Place extends Box {
  readonly density: number;
}

/** Gathers, frame by frame, the least and greatest luma of each pixel. Two bytes a pixel are held. */
export class StillnessMap {
  readonly least: Uint8Array;
  readonly most: Uint8Array;
  frames = 0;

  constructor(
    readonly widthPx: number,
    readonly heightPx: number,
  ) {
    this.least = new Uint8Array(widthPx * heightPx).fill(255);
    this.most = new Uint8Array(widthPx * heightPx);
  }

  add({ widthPx, heightPx, channels, pixels }: Picture): void {
    if (widthPx !== this.widthPx || heightPx !== this.heightPx) return;
    this.frames += 1;
    for (let n = 0; n < this.least.length; n += 1) {
      const at = channels * n;
      const luma =
        channels === 1
          ? (pixels[at] as number)
          : (77 * (pixels[at] as number) +
              150 * (pixels[at + 1] as number) +
              29 * (pixels[at + 2] as number)) >>
            8;
      if (luma < (this.least[n] as number)) this.least[n] = luma;
      if (luma > (this.most[n] as number)) this.most[n] = luma;
    }
  }
}

/** Text-like still places within the boxes that stay visible (null: the whole picture), at most 64, from the top. */
export function findStillMarks(map: StillnessMap, within: readonly Box[] | null): Box[] {
  if (map.frames < fewestFrames) return [];
  const { widthPx, heightPx } = map;
  const columns = Math.ceil(widthPx / cellPx);
  const rows = Math.ceil(heightPx / cellPx);
  const edges = new Uint16Array(columns * rows);
  for (const box of within ?? [{ x0: 0, y0: 0, x1: widthPx - 1, y1: heightPx - 1 }])
    for (let y = Math.max(2, box.y0); y <= Math.min(heightPx - 3, box.y1); y += 1)
      for (let x = Math.max(2, box.x0); x <= Math.min(widthPx - 3, box.x1); x += 1)
        if (isLetterEdge(map, y * widthPx + x)) {
          const cell = Math.floor(y / cellPx) * columns + Math.floor(x / cellPx);
          edges[cell] = (edges[cell] as number) + 1;
        }
  return gather(edges, columns, rows)
    .filter(isTextLike)
    .slice(0, mostMarks)
    .map(({ x0, y0, x1, y1 }) => ({ x0, y0, x1: Math.min(widthPx - 1, x1), y1: Math.min(heightPx - 1, y1) }));
}

function isLetterEdge({ least, most, widthPx }: StillnessMap, at: number): boolean {
  const low = least[at] as number;
  if (low < brightLeast || (most[at] as number) - low > stillRange) return false;
  const dark = low - edgeStep;
  // The dark side has to be dark in every frame as well: else it is tissue that brightens beside a still edge.
  const isDark = (place: number): boolean => (most[place] as number) <= dark;
  return isDark(at - 2) || isDark(at + 2) || isDark(at - 2 * widthPx) || isDark(at + 2 * widthPx);
}

/** Cells with enough edges, joined when they touch or have one empty cell between them sideways. */
function gather(edges: Uint16Array, columns: number, rows: number): Place[] {
  const seen = new Uint8Array(edges.length);
  const boxes: Place[] = [];
  for (let start = 0; start < edges.length; start += 1) {
    if (seen[start] === 1 || (edges[start] as number) < fewestEdges) continue;
    const box = { x0: columns, y0: rows, x1: 0, y1: 0 };
    let cells = 0;
    const queue = [start];
    seen[start] = 1;
    for (let cell = queue.pop(); cell !== undefined; cell = queue.pop()) {
      cells += 1;
      const [x, y] = [cell % columns, Math.floor(cell / columns)];
      box.x0 = Math.min(box.x0, x);
      box.x1 = Math.max(box.x1, x);
      box.y0 = Math.min(box.y0, y);
      box.y1 = Math.max(box.y1, y);
      for (let ny = Math.max(0, y - 1); ny <= Math.min(rows - 1, y + 1); ny += 1)
        for (let nx = Math.max(0, x - 2); nx <= Math.min(columns - 1, x + 2); nx += 1) {
          const next = ny * columns + nx;
          if (seen[next] === 1 || (edges[next] as number) < fewestEdges) continue;
          seen[next] = 1;
          queue.push(next);
        }
    }
    boxes.push({
      x0: box.x0 * cellPx,
      y0: box.y0 * cellPx,
      x1: (box.x1 + 1) * cellPx - 1,
      y1: (box.y1 + 1) * cellPx - 1,
      density: cells / ((box.x1 - box.x0 + 1) * (box.y1 - box.y0 + 1)),
    });
  }
  return boxes;
}

/** A line of letters is wider than high; a block of lines may be high but is filled. A curve or an arc of tissue is neither. */
function isTextLike(place: Place): boolean {
  const [width, height] = [place.x1 - place.x0 + 1, place.y1 - place.y0 + 1];
  if (width < narrowestPx) return false;
  if (height <= tallestPx && width >= height) return true;
  return height <= tallestBlockPx && width >= 2 * narrowestPx && place.density >= filled;
}
