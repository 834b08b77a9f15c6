/**
 * A sector on the screen while it is being fitted: tangents instead of angles, so that no angle function is needed. Coordinates
 * are continuous pixels. The inner border is an arc, or a level line at the same distance below the apex (flat top).
 */
export interface FanShape {
  readonly apexX: number;
  readonly apexY: number;
  /** dx/dy of the side lines; left is negative in an upright fan. */
  readonly left: number;
  readonly right: number;
  readonly inner: number;
  readonly outer: number;
  readonly flatTop: boolean;
}

/** Left and right end of a row's part inside the fan, and of its second part beside the inner arc (empty: from > to). */
export interface RowSpans {
  a0: number;
  a1: number;
  b0: number;
  b1: number;
}

/** Parts of the row with middle `y` that lie in the fan. False: none. */
export function rowSpans(fan: FanShape, y: number, out: RowSpans): boolean {
  const dy = y - fan.apexY;
  if (dy <= 0 || dy >= fan.outer) return false;
  if (fan.flatTop && dy < fan.inner) return false;
  const reach = Math.sqrt(fan.outer * fan.outer - dy * dy);
  const from = Math.max(fan.apexX + fan.left * dy, fan.apexX - reach);
  const to = Math.min(fan.apexX + fan.right * dy, fan.apexX + reach);
  if (from >= to) return false;
  if (!fan.flatTop && dy < fan.inner) {
    const hole = Math.sqrt(fan.inner * fan.inner - dy * dy);
    out.a0 = from;
    out.a1 = Math.min(to, fan.apexX - hole);
    out.b0 = Math.max(from, fan.apexX + hole);
    out.b1 = to;
    return out.a1 > out.a0 || out.b1 > out.b0;
  }
  out.a0 = from;
  out.a1 = to;
  out.b0 = 1;
  out.b1 = 0;
  return true;
}

/** True where a point lies in the fan grown by `margin` pixels on every side. */
export function isInFan(fan: FanShape, x: number, y: number, margin = 0): boolean {
  const dx = x - fan.apexX;
  const dy = y - fan.apexY;
  const range = Math.sqrt(dx * dx + dy * dy);
  if (range > fan.outer + margin) return false;
  if (fan.flatTop ? dy < fan.inner - margin : range < fan.inner - margin) return false;
  if (dy < -margin) return false;
  const fromLeft = (dx - fan.left * dy) / Math.sqrt(1 + fan.left * fan.left);
  const fromRight = (fan.right * dy - dx) / Math.sqrt(1 + fan.right * fan.right);
  return fromLeft >= -margin && fromRight >= -margin;
}

export function scaleFan(fan: FanShape, factor: number): FanShape {
  return {
    ...fan,
    apexX: fan.apexX * factor,
    apexY: fan.apexY * factor,
    inner: fan.inner * factor,
    outer: fan.outer * factor,
  };
}

/** Area of the whole fan, and the part of it outside a picture of the given size; by rows of one pixel. */
export function fanAreas(
  fan: FanShape,
  width: number,
  height: number,
): { readonly total: number; readonly outside: number } {
  const spans: RowSpans = { a0: 0, a1: 0, b0: 0, b1: 0 };
  let total = 0;
  let within = 0;
  const first = Math.floor(fan.apexY);
  const last = Math.ceil(fan.apexY + fan.outer);
  const step = Math.max(1, Math.ceil((last - first) / 4000));
  for (let row = first; row < last; row += step) {
    if (!rowSpans(fan, row + 0.5, spans)) continue;
    const inPicture = row >= 0 && row < height;
    for (const [from, to] of [
      [spans.a0, spans.a1],
      [spans.b0, spans.b1],
    ] as const) {
      if (to <= from) continue;
      total += to - from;
      if (inPicture) within += Math.max(0, Math.min(width, to) - Math.max(0, from));
    }
  }
  return { total, outside: Math.max(0, total - within) };
}
