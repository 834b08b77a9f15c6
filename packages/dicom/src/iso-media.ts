import type { ByteSource } from './source';

const mostBoxes = 10_000;

/**
 * True when the top-level boxes of an MP4 or MOV file (ISO/IEC 14496-12 4.2) end within the file. A cut one promises more
 * than it holds, and a decoder would paint over the gap.
 */
export async function isoMediaIsComplete(source: ByteSource): Promise<boolean> {
  let at = 0;
  for (let boxes = 0; boxes < mostBoxes && at + 8 <= source.size; boxes += 1) {
    const head = await source.read(at, 16);
    const view = new DataView(head.buffer, head.byteOffset, head.byteLength);
    const short = view.getUint32(0);
    // 0: to the end of the file; 1: the size follows in 64 bits.
    if (short === 0) return true;
    const size = short === 1 && head.length === 16 ? Number(view.getBigUint64(8)) : short;
    if (size < 8 || at + size > source.size) return false;
    at += size;
  }
  return at > 0;
}
