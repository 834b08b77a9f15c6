/** A picture of numbers: width × height values, row by row. Pixel n covers n to n + 1, its middle is at n + 0.5. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

export function emptyPlane(width: number, height: number): Plane {
  return { width, height, values: new Float32Array(width * height) };
}

/** Value at a place in continuous coordinates (pixel middles at .5), between pixels by bilinear weights, at the rim the rim's. */
export function valueAt({ width, height, values }: Plane, x: number, y: number): number {
  const fx = Math.max(0, Math.min(width - 1, x - 0.5));
  const fy = Math.max(0, Math.min(height - 1, y - 0.5));
  const x0 = Math.floor(fx);
  const y0 = Math.floor(fy);
  const x1 = Math.min(width - 1, x0 + 1);
  const y1 = Math.min(height - 1, y0 + 1);
  const wx = fx - x0;
  const wy = fy - y0;
  const top = (values[y0 * width + x0] as number) * (1 - wx) + (values[y0 * width + x1] as number) * wx;
  const bottom = (values[y1 * width + x0] as number) * (1 - wx) + (values[y1 * width + x1] as number) * wx;
  return top * (1 - wy) + bottom * wy;
}

function boxPass(from: Float32Array, to: Float32Array, count: number, radius: number): void {
  const reach = 2 * radius + 1;
  const first = from[0] as number;
  const last = from[count - 1] as number;
  let sum = first * radius;
  for (let k = 0; k < radius; k += 1) sum += from[Math.min(count - 1, k)] as number;
  for (let n = 0; n < count; n += 1) {
    sum += n + radius < count ? (from[n + radius] as number) : last;
    to[n] = sum / reach;
    sum -= n - radius >= 0 ? (from[n - radius] as number) : first;
  }
}

/** Smooths by running means over 2·radius + 1, `passes` times each way; three passes are near a normal curve. */
export function blur(plane: Plane, radius: number, passes = 2): Plane {
  if (radius < 1) return plane;
  const { width, height } = plane;
  const values = plane.values.slice();
  const longest = Math.max(width, height);
  let a = new Float32Array(longest);
  let b = new Float32Array(longest);
  for (let y = 0; y < height; y += 1) {
    a.set(values.subarray(y * width, (y + 1) * width));
    for (let p = 0; p < passes; p += 1) {
      boxPass(a, b, width, radius);
      [a, b] = [b, a];
    }
    values.set(a.subarray(0, width), y * width);
  }
  for (let x = 0; x < width; x += 1) {
    for (let y = 0; y < height; y += 1) a[y] = values[y * width + x] as number;
    for (let p = 0; p < passes; p += 1) {
      boxPass(a, b, height, radius);
      [a, b] = [b, a];
    }
    for (let y = 0; y < height; y += 1) values[y * width + x] = a[y] as number;
  }
  return { width, height, values };
}

/** Value below which the given share of the numbers lies; NaN for none. */
export function centile(numbers: ArrayLike<number>, share: number): number {
  if (numbers.length === 0) return Number.NaN;
  const sorted = Float64Array.from(numbers).sort();
  const at = share * (sorted.length - 1);
  const low = Math.floor(at);
  const a = sorted[low] as number;
  const b = sorted[Math.min(sorted.length - 1, low + 1)] as number;
  return a + (b - a) * (at - low);
}

/** Mean of planes of one size. */
export function meanPlane(planes: readonly Plane[]): Plane {
  const first = planes[0] as Plane;
  const out = emptyPlane(first.width, first.height);
  for (const { values } of planes)
    for (let n = 0; n < values.length; n += 1)
      out.values[n] = (out.values[n] as number) + (values[n] as number);
  for (let n = 0; n < out.values.length; n += 1) out.values[n] = (out.values[n] as number) / planes.length;
  return out;
}
