import { nextSegment } from './coded-samples';

/** What an encapsulated frame is by its own bytes, whatever the file's header calls it. */
export type StreamKind =
  | 'jpeg'
  | 'jpeg-12'
  | 'jpeg-lossless'
  | 'jpeg-ls'
  | 'jpeg-2000'
  | 'jpeg-xl'
  | 'unknown';

function begins(bytes: Uint8Array, signature: readonly number[]): boolean {
  return signature.every((value, n) => bytes[n] === value);
}

const jp2Box = [0, 0, 0, 12, 0x6a, 0x50, 0x20, 0x20];
const jxlBox = [0, 0, 0, 12, 0x4a, 0x58, 0x4c, 0x20];

/** true when a frame's stream can begin with these bytes: to tell where one frame's fragments end and the next begin. */
export function startsStream(bytes: Uint8Array): boolean {
  return (
    begins(bytes, [0xff, 0xd8]) ||
    begins(bytes, [0xff, 0x4f, 0xff, 0x51]) ||
    begins(bytes, [0xff, 0x0a]) ||
    begins(bytes, jp2Box) ||
    begins(bytes, jxlBox)
  );
}

/** Kind of a frame's stream; a JPEG is told by its start-of-frame marker. */
export function streamKind(bytes: Uint8Array): StreamKind {
  if (begins(bytes, [0xff, 0x4f, 0xff, 0x51]) || begins(bytes, jp2Box)) return 'jpeg-2000';
  if (begins(bytes, [0xff, 0x0a]) || begins(bytes, jxlBox)) return 'jpeg-xl';
  if (!begins(bytes, [0xff, 0xd8])) return 'unknown';
  let at = 2;
  for (;;) {
    const segment = nextSegment(bytes, at);
    if (segment === null || segment.marker === 0xda || segment.marker === 0xd9) return 'unknown';
    if (segment.marker === 0xf7) return 'jpeg-ls';
    if (segment.marker === 0xc3) return 'jpeg-lossless';
    // Extended, 12 bits, one component: grey deeper than pictures are shown (T.81 process 4).
    if (segment.marker === 0xc1 && segment.body[0] === 12 && segment.body[5] === 1) return 'jpeg-12';
    if (segment.marker >= 0xc0 && segment.marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(segment.marker))
      return 'jpeg';
    at = segment.end;
  }
}
