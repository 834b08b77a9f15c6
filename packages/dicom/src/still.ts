import type { ClipDescription } from '@chordae/contract';
import type { ByteSource, Read } from './source';
import { refuse } from './source';
import { jpegIsComplete, pngIsComplete, readJpegHead, readPngHead } from './still-head';

const widestPx = 16_384;
const mostPixels = 64_000_000;

/** Describes a JPEG or PNG still from its head and tail; without calibration, so nothing may be measured in cm. Size as it is shown (after Exif orientation). */
export async function describeStill(
  source: ByteSource,
  format: 'jpeg' | 'png',
): Promise<Read<ClipDescription>> {
  const head = await source.read(0, Math.min(source.size, 1024 * 1024));
  const tail = await source.read(Math.max(0, source.size - 512), Math.min(512, source.size));
  const complete = format === 'jpeg' ? jpegIsComplete(tail) : pngIsComplete(tail);
  if (!complete) return refuse('FILE_TRUNCATED');
  const jpeg = format === 'jpeg' ? readJpegHead(head) : null;
  const size = format === 'jpeg' ? jpeg : readPngHead(head);
  if (size === null || size.widthPx === 0 || size.heightPx === 0) return refuse('NOT_AN_IMAGE');
  if (size.widthPx > widestPx || size.heightPx > widestPx || size.widthPx * size.heightPx > mostPixels)
    return refuse('PICTURE_TOO_LARGE', { widthPx: size.widthPx, heightPx: size.heightPx });
  const turned = (jpeg?.orientation ?? 1) >= 5;
  return {
    ok: true,
    value: {
      format,
      transferSyntax: null,
      kind: 'still',
      widthPx: turned ? size.heightPx : size.widthPx,
      heightPx: turned ? size.widthPx : size.heightPx,
      frameCount: 1,
      frameTimesMs: [0],
      timing: 'still',
      rWaveTimesMs: [],
      regions: [],
      problems: [{ code: 'CALIBRATION_MISSING', data: {} }],
    },
  };
}
