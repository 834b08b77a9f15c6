/** What a lossless stream decodes to: samples pixel by pixel, one or two bytes each, without any colour conversion. */
export interface CodedSamples {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly components: number;
  /** Bits a sample. */
  readonly precision: number;
  readonly samples: Uint8Array | Uint16Array;
}

/** What the header of the file promises; a stream that says otherwise is not decoded, so that it cannot ask for memory. */
export interface WantedSize {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A marker segment of a JPEG stream (ITU-T T.81 B.1): `body` is without the two length bytes. */
export interface Segment {
  readonly marker: number;
  readonly body: Uint8Array;
  /** Where what follows the segment begins. */
  readonly end: number;
}

/** The segment at or after `at`, fill bytes skipped; null at the end or where none can be. */
export function nextSegment(bytes: Uint8Array, at: number): Segment | null {
  let next = at;
  while (next + 1 < bytes.length && bytes[next] === 0xff && bytes[next + 1] === 0xff) next += 1;
  if (next + 1 >= bytes.length || bytes[next] !== 0xff) return null;
  const marker = bytes[next + 1] ?? 0;
  const alone = marker === 0xd8 || marker === 0xd9 || (marker >= 0xd0 && marker <= 0xd7) || marker === 1;
  if (alone) return { marker, body: bytes.subarray(0, 0), end: next + 2 };
  if (next + 4 > bytes.length) return null;
  const length = ((bytes[next + 2] ?? 0) << 8) | (bytes[next + 3] ?? 0);
  if (length < 2 || next + 2 + length > bytes.length) return null;
  return { marker, body: bytes.subarray(next + 4, next + 2 + length), end: next + 2 + length };
}

export interface FrameHead {
  readonly precision: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly componentIds: readonly number[];
}

/** A start-of-frame segment with unsubsampled components; null when it is another. */
export function readFrameHead(body: Uint8Array): FrameHead | null {
  const count = body[5] ?? 0;
  if (count < 1 || count > 4 || body.length < 6 + 3 * count) return null;
  const ids: number[] = [];
  for (let n = 0; n < count; n += 1) {
    ids.push(body[6 + 3 * n] ?? 0);
    if (body[7 + 3 * n] !== 0x11 && count > 1) return null;
  }
  return {
    precision: body[0] ?? 0,
    heightPx: ((body[1] ?? 0) << 8) | (body[2] ?? 0),
    widthPx: ((body[3] ?? 0) << 8) | (body[4] ?? 0),
    componentIds: ids,
  };
}

/** Room for samples, checked against what the file promises; null when they differ. */
export function roomFor(head: FrameHead, wanted: WantedSize): Uint8Array | Uint16Array | null {
  if (head.widthPx !== wanted.widthPx || head.heightPx !== wanted.heightPx) return null;
  if (head.precision < 2 || head.precision > 16) return null;
  const count = head.widthPx * head.heightPx * head.componentIds.length;
  return head.precision > 8 ? new Uint16Array(count) : new Uint8Array(count);
}
