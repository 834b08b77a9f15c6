import type { ByteSource } from './source';

/** Reads small pieces that lie close together with few reads of the source: for walking chunk heads. */
export function buffered(source: ByteSource, blockBytes = 65_536): ByteSource {
  let start = 0;
  let block = new Uint8Array();
  return {
    size: source.size,
    async read(offset, length) {
      if (length > blockBytes) return source.read(offset, length);
      if (offset < start || offset + length > start + block.length) {
        block = new Uint8Array(await source.read(offset, blockBytes));
        start = offset;
      }
      return block.subarray(offset - start, offset - start + length);
    },
  };
}
