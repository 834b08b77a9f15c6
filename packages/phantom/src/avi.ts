/** Little-endian writer over a growing list of pieces. */
function word32(...values: readonly number[]): Uint8Array {
  const out = new Uint8Array(4 * values.length);
  const view = new DataView(out.buffer);
  values.forEach((value, n) => {
    view.setUint32(4 * n, value, true);
  });
  return out;
}

function letters(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

function join(parts: readonly Uint8Array[]): Uint8Array {
  const out = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** A chunk, padded to whole words. */
function chunk(name: string, body: Uint8Array): Uint8Array {
  return join([letters(name), word32(body.length), body, new Uint8Array(body.length % 2)]);
}

function list(name: string, kind: string, parts: readonly Uint8Array[]): Uint8Array {
  return chunk(name, join([letters(kind), ...parts]));
}

export interface AviPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  /** ms from frame to frame. */
  readonly frameTimeMs: number;
}

/** Luma frames, stored as uncompressed 24-bit pictures; or JPEG frames made by the caller. */
export type AviFrames =
  | { readonly coding: 'raw'; readonly frames: readonly Uint8Array[] }
  | { readonly coding: 'jpeg'; readonly frames: readonly Uint8Array[] };

/** One luma frame as a device-independent bitmap: bottom row first, three equal bytes a pixel, rows of whole words. */
function bitmap(luma: Uint8Array, widthPx: number, heightPx: number): Uint8Array {
  const stride = 4 * Math.ceil((3 * widthPx) / 4);
  const out = new Uint8Array(stride * heightPx);
  for (let y = 0; y < heightPx; y += 1)
    for (let x = 0; x < widthPx; x += 1)
      out.fill(
        luma[y * widthPx + x] as number,
        (heightPx - 1 - y) * stride + 3 * x,
        (heightPx - 1 - y) * stride + 3 * x + 3,
      );
  return out;
}

/**
 * An AVI 1.0 file with one video stream and an index (RIFF layout: Microsoft, 'AVI RIFF File Reference'). Reads back in
 * general video programs; below 1 GiB.
 */
export function writeAvi(picture: AviPicture, video: AviFrames): Uint8Array {
  const { widthPx, heightPx, frameTimeMs } = picture;
  const raw = video.coding === 'raw';
  const bodies = raw ? video.frames.map((luma) => bitmap(luma, widthPx, heightPx)) : video.frames;
  const name = raw ? '00db' : '00dc';
  const largest = bodies.reduce((most, body) => Math.max(most, body.length), 0);
  const microseconds = Math.round(1000 * frameTimeMs);
  const count = bodies.length;
  const codec = raw ? word32(0) : letters('MJPG');
  const mainHeader = chunk(
    'avih',
    word32(microseconds, 0, 0, 0x10, count, 0, 1, largest, widthPx, heightPx, 0, 0, 0, 0),
  );
  const streamHeader = chunk(
    'strh',
    join([
      letters('vids'),
      raw ? letters('DIB ') : codec,
      word32(
        0,
        0,
        0,
        microseconds,
        1_000_000,
        0,
        count,
        largest,
        0xffffffff,
        0,
        0,
        widthPx | (heightPx << 16),
      ),
    ]),
  );
  const format = chunk(
    'strf',
    join([word32(40, widthPx, heightPx, 1 | (24 << 16)), codec, word32(3 * widthPx * heightPx, 0, 0, 0, 0)]),
  );
  const header = list('LIST', 'hdrl', [mainHeader, list('LIST', 'strl', [streamHeader, format])]);
  const chunks = bodies.map((body) => chunk(name, body));
  let offset = 4;
  const index = chunks.map((piece, n) => {
    const entry = join([letters(name), word32(0x10, offset, (bodies[n] as Uint8Array).length)]);
    offset += piece.length;
    return entry;
  });
  return list('RIFF', 'AVI ', [header, list('LIST', 'movi', chunks), chunk('idx1', join(index))]);
}
