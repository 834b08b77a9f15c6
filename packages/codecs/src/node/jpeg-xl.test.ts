import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { hasLosslessXl, losslessSamplesOfXl, wasJpeg } from './jpeg-xl';
import { heicPixels, htj2kPixels, sampleStreamHeight, sampleStreamWidth } from './sample-streams';

interface Encoder {
  encode(rgba: Uint8Array, width: number, height: number, options: object): Uint8Array | null;
}

/** The encoder of the same package: lossless, three channels and alpha. */
async function coded(rgba: Uint8Array): Promise<Uint8Array> {
  const entry = createRequire(import.meta.url).resolve('@jsquash/jxl/codec/enc/jxl_enc.js');
  const wasmBinary = await readFile(path.join(path.dirname(entry), 'jxl_enc.wasm'));
  const { default: make } = (await import(entry)) as { default: (options: object) => Promise<Encoder> };
  const encoder = await make({ wasmBinary, noInitialRun: true });
  const out = encoder.encode(rgba, sampleStreamWidth, sampleStreamHeight, {
    effort: 3,
    quality: 100,
    progressive: false,
    epf: -1,
    lossyPalette: false,
    decodingSpeedTier: 0,
    photonNoiseIso: 0,
    lossyModular: false,
    lossless: true,
  });
  if (out === null) throw new Error('not coded');
  return new Uint8Array(out);
}

const opaque = (from: Uint8Array, channels: number, alpha = 255): Uint8Array =>
  Uint8Array.from({ length: 4 * sampleStreamWidth * sampleStreamHeight }, (_, n) =>
    n % 4 === 3 ? alpha : (from[Math.floor(n / 4) * channels + (channels === 3 ? n % 4 : 0)] ?? 0),
  );

const installed = await hasLosslessXl();

describe.skipIf(!installed)('lossless JPEG XL by the optional build (@jsquash/jxl)', () => {
  it('gives the very pixels, colour and grey', async () => {
    const colour = await losslessSamplesOfXl(await coded(opaque(heicPixels, 3)), 3);
    expect(colour?.samples).toEqual(heicPixels);
    const grey = await losslessSamplesOfXl(await coded(opaque(htj2kPixels, 1)), 1);
    expect(grey?.samples).toEqual(htj2kPixels);
  });

  it('gives nothing of a transparent, a coloured grey or a cut one', async () => {
    expect(await losslessSamplesOfXl(await coded(opaque(heicPixels, 3, 100)), 3)).toBeNull();
    const whole = await coded(opaque(heicPixels, 3));
    expect(await losslessSamplesOfXl(whole, 1)).toBeNull();
    expect(await losslessSamplesOfXl(whole.subarray(0, whole.length - 40), 3)).toBeNull();
    expect(wasJpeg(whole)).toBe(false);
  });
});
