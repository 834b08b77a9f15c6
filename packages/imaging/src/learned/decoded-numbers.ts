import { bytesOfBase64 } from './base64';

/** A network's numbers from 16-bit whole numbers (little endian, base64) and a scale for each group. */
export function decodedNumbers(
  base64: string,
  scales: readonly { readonly count: number; readonly scale: number }[],
  size: number,
): Float64Array {
  const bytes = bytesOfBase64(base64);
  if (bytes.length !== 2 * size) throw new Error(`decodedNumbers: ${bytes.length} bytes for ${size} numbers`);
  const out = new Float64Array(size);
  let at = 0;
  for (const { count, scale } of scales)
    for (let n = 0; n < count; n += 1) {
      const whole = (bytes[2 * at] as number) | ((bytes[2 * at + 1] as number) << 8);
      out[at] = (whole > 32767 ? whole - 65536 : whole) * scale;
      at += 1;
    }
  return out;
}
