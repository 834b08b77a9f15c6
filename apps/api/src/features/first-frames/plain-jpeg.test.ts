import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { sizeOfPlainJpeg } from './plain-jpeg';

const made = (withWords: boolean) => {
  const picture = sharp({ create: { width: 64, height: 40, channels: 3, background: '#345' } }).jpeg();
  return (
    withWords ? picture.withExif({ IFD0: { ImageDescription: 'Example^Pebble' } }) : picture
  ).toBuffer();
};

describe('a first frame as it comes', () => {
  it('is a JPEG of so many pixels', async () => {
    expect(sizeOfPlainJpeg(await made(false))).toEqual({ widthPx: 64, heightPx: 40 });
  });

  it('is refused when it carries words, or is cut, or is something else', async () => {
    expect(sizeOfPlainJpeg(await made(true))).toBeNull();
    const whole = await made(false);
    const comment = Buffer.concat([
      whole.subarray(0, 2),
      Buffer.from([0xff, 0xfe, 0x00, 0x06, 0x6e, 0x61, 0x6d, 0x65]),
      whole.subarray(2),
    ]);
    expect(sizeOfPlainJpeg(comment)).toBeNull();
    expect(sizeOfPlainJpeg(whole.subarray(0, -2))).toBeNull();
    expect(sizeOfPlainJpeg(Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'))).toBeNull();
    expect(sizeOfPlainJpeg(new Uint8Array())).toBeNull();
  });
});
