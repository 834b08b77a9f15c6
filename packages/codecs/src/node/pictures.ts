import type { Picture, Read } from '@chordae/dicom';
import { refuse } from '@chordae/dicom';
import type { Sharp, SharpOptions } from 'sharp';

type Codec = typeof import('sharp').default;
let loaded: Promise<Codec> | null = null;

/** The picture codec, loaded when the first picture needs it: it is half of what starting a decoder costs. */
export function pictureCodec(): Promise<Codec> {
  loaded ??= import('sharp').then(({ default: sharp }) => {
    sharp.cache(false);
    sharp.concurrency(1);
    return sharp;
  });
  return loaded;
}

/** Encoder settings are part of a pack's version: a change here is a new name. */
export const encoderVersion = 'jpeg-blocks-2, sharp-jpeg-q95-444-1';
const mostPixels = 8192 * 8192;

async function raw(picture: Picture): Promise<Sharp> {
  const { widthPx, heightPx, channels, pixels } = picture;
  const sharp = await pictureCodec();
  const options: SharpOptions = { raw: { width: widthPx, height: heightPx, channels } };
  const image = sharp(pixels, options);
  return channels === 1 ? image.toColourspace('b-w') : image;
}

/** JPEG at quality 95 without chroma subsampling; grey stays grey. No metadata is written. */
export async function encodeJpeg(picture: Picture): Promise<Uint8Array> {
  const image = await raw(picture);
  return image.jpeg({ quality: 95, chromaSubsampling: '4:4:4', optimiseCoding: false }).toBuffer();
}

/** PNG, exact pixels. No metadata is written. */
export async function encodePng(picture: Picture): Promise<Uint8Array> {
  const image = await raw(picture);
  return image.png({ compressionLevel: 6 }).toBuffer();
}

/** Decodes a picture (of several pages one) to 8-bit grey or RGB (transparency on black), turned upright; refuses FRAME_DAMAGED when it is cut or broken. */
export async function decodePicture(bytes: Uint8Array, page = 0): Promise<Read<Picture>> {
  const sharp = await pictureCodec();
  try {
    const image = sharp(bytes, { failOn: 'error', limitInputPixels: mostPixels, ignoreIcc: true, page });
    const upright = image.autoOrient().flatten({ background: '#000000' });
    const { channels: found, space } = await image.metadata();
    const grey = space === 'b-w' || found <= 2;
    const { data, info } = await upright
      .toColourspace(grey ? 'b-w' : 'srgb')
      .raw()
      .toBuffer({ resolveWithObject: true });
    if (info.channels !== 1 && info.channels !== 3)
      return refuse('COLOUR_NOT_YET_READ', { channels: info.channels });
    const pixels = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    return {
      ok: true,
      value: { widthPx: info.width, heightPx: info.height, channels: info.channels, pixels },
    };
  } catch {
    return refuse('FRAME_DAMAGED');
  }
}

/**
 * Whether a JPEG can be decoded to its end: all of it is unpacked, but its pixels are made at an eighth of their size,
 * which takes half the time. Refuses FRAME_DAMAGED.
 */
export async function jpegDecodes(bytes: Uint8Array, widthPx: number): Promise<Read<null>> {
  const sharp = await pictureCodec();
  const image = sharp(bytes, { failOn: 'error', limitInputPixels: mostPixels, ignoreIcc: true });
  return image
    .resize({ width: Math.max(1, Math.ceil(widthPx / 8)) })
    .raw()
    .toBuffer()
    .then(
      () => ({ ok: true, value: null }),
      () => refuse('FRAME_DAMAGED'),
    );
}
