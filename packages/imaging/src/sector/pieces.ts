import type { Plane } from '../picture/plane';
import type { Box } from './fit-fan';

export interface Piece extends Box {
  readonly pixels: number;
  readonly mark: number;
}

/** Connected pieces (eight neighbours) of what lies above a level, largest first, with the map of their marks (from 1). */
export function pieces(plane: Plane, level: number): { readonly list: Piece[]; readonly marks: Int32Array } {
  const { width, height, values } = plane;
  const marks = new Int32Array(width * height);
  const stack = new Int32Array(width * height);
  const list: Piece[] = [];
  for (let seed = 0; seed < values.length; seed += 1) {
    if (marks[seed] !== 0 || !((values[seed] as number) > level)) continue;
    const mark = list.length + 1;
    let top = 0;
    stack[top++] = seed;
    marks[seed] = mark;
    let [x0, y0, x1, y1, pixels] = [width, height, 0, 0, 0];
    while (top > 0) {
      const at = stack[--top] as number;
      const x = at % width;
      const y = (at - x) / width;
      pixels += 1;
      x0 = Math.min(x0, x);
      x1 = Math.max(x1, x + 1);
      y0 = Math.min(y0, y);
      y1 = Math.max(y1, y + 1);
      for (let dy = y > 0 ? -1 : 0; dy <= (y < height - 1 ? 1 : 0); dy += 1)
        for (let dx = x > 0 ? -1 : 0; dx <= (x < width - 1 ? 1 : 0); dx += 1) {
          const next = at + dy * width + dx;
          if (marks[next] === 0 && (values[next] as number) > level) {
            marks[next] = mark;
            stack[top++] = next;
          }
        }
    }
    list.push({ x0, y0, x1, y1, pixels, mark });
  }
  list.sort((a, b) => b.pixels - a.pixels || a.mark - b.mark);
  return { list, marks };
}
