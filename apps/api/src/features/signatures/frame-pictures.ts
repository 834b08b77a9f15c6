import { type Block, framesOf, pictureKey } from '@chordae/report';
import sharp from 'sharp';
import { AppError } from '../../platform/app-error';
import type { Services } from '../../platform/services';
import { groupFramePng } from '../clips';
import type { FramePicture, Pictures } from './paint/paint-frames';

/** Wide enough for 300 dots per inch at the width a frame is printed. */
const WIDEST_PX = 980;

/**
 * The pictures that a page shows, as the reading group sees them, or as `pngOf` gives them: with what hides a name in them. One that cannot be read
 * is left out, and the page says so in its place.
 */
export async function picturesOf(
  services: Services,
  practiceId: string,
  referralId: string,
  blocks: readonly Block[],
  pngOf: typeof groupFramePng = groupFramePng,
): Promise<Pictures> {
  const found = new Map<string, FramePicture>();
  for (const at of framesOf(blocks)) {
    const picture = await framePicture(services, { practiceId, referralId, ...at }, pngOf);
    if (picture) found.set(pictureKey(at), picture);
  }
  return found;
}

async function framePicture(
  services: Services,
  at: { practiceId: string; referralId: string; clipId: string; frame: number },
  pngOf: typeof groupFramePng,
): Promise<FramePicture | null> {
  let png: Uint8Array;
  try {
    png = await pngOf(services, at);
  } catch (error) {
    if (error instanceof AppError) return null;
    throw error;
  }
  const { width, height } = await sharp(png).metadata();
  if (!width || !height) return null;
  const jpeg = await sharp(png)
    .flatten({ background: '#000000' })
    .resize({ width: WIDEST_PX, withoutEnlargement: true })
    .jpeg({ quality: 90, chromaSubsampling: '4:4:4' })
    .toBuffer();
  return { jpeg, widthPx: width, heightPx: height };
}
