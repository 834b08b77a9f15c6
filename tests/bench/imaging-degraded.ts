import type { GrayFrame } from '@chordae/imaging';
import type { Random } from '@chordae/phantom';

/** Frames as an export leaves them; `scale`: size against the drawn one. */
export interface Degraded {
  readonly frames: GrayFrame[];
  readonly scale: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** The frames as an export leaves them: another size, sometimes soft, JPEG 30 to 95. */
export async function degraded(
  list: readonly Uint8Array[],
  width: number,
  height: number,
  random: Random,
): Promise<Degraded> {
  const { default: sharp } = await import('sharp');
  const scale = 0.6 + 0.8 * random();
  const quality = Math.round(30 + 65 * random());
  const soft = random() < 0.4 ? 0.3 + 0.7 * random() : 0;
  const [widthPx, heightPx] = [Math.round(width * scale), Math.round(height * scale)];
  const frames = await Promise.all(
    list.map(async (luma) => {
      const sized = sharp(luma, { raw: { width, height, channels: 1 } }).resize(widthPx, heightPx);
      const jpeg = await (soft > 0 ? sized.blur(soft) : sized).jpeg({ quality }).toBuffer();
      return {
        widthPx,
        heightPx,
        luma: new Uint8Array(await sharp(jpeg).extractChannel(0).raw().toBuffer()),
      };
    }),
  );
  return { frames, scale, widthPx, heightPx };
}
