import { lumaFromRgba } from '../luma';
import type { FilmPlatform } from './film-here';
import type { LumaFrame } from './open-in-browser';

/** Luma of 16 to 235 spread over 0 to 255, as the server's colour conversion does. */
const spread = Uint8Array.from({ length: 256 }, (_, y) =>
  Math.max(0, Math.min(255, Math.round(((y - 16) * 255) / 219))),
);

/** The luma plane of a decoded picture; by way of a canvas where the browser hands over another layout. */
async function lumaOf(frame: VideoFrame): Promise<LumaFrame> {
  const { width: widthPx, height: heightPx } = frame.visibleRect ?? { width: 0, height: 0 };
  if (frame.format === null || !/^(I420|I420A|NV12|I422|I444)$/.test(frame.format)) {
    const context = new OffscreenCanvas(widthPx, heightPx).getContext('2d', { willReadFrequently: true });
    context?.drawImage(frame, 0, 0, widthPx, heightPx);
    const drawn = context?.getImageData(0, 0, widthPx, heightPx).data ?? new Uint8ClampedArray();
    return { widthPx, heightPx, luma: lumaFromRgba(drawn) };
  }
  const bytes = new Uint8Array(frame.allocationSize());
  const [plane] = await frame.copyTo(bytes);
  const luma = new Uint8Array(widthPx * heightPx);
  const { offset = 0, stride = widthPx } = plane ?? {};
  for (let y = 0; y < heightPx; y += 1)
    luma.set(bytes.subarray(offset + y * stride, offset + y * stride + widthPx), y * widthPx);
  const full = frame.colorSpace.fullRange === true;
  return { widthPx, heightPx, luma: full ? luma : luma.map((y) => spread[y] ?? 0) };
}

/** The browser's own decoder; null where it has none or not for this film. */
export const filmDecoder: FilmPlatform['filmDecoder'] = async (config, given, failed) => {
  if (typeof VideoDecoder === 'undefined') return null;
  const asked = {
    codec: config.codec,
    description: config.description,
    codedWidth: config.widthPx,
    codedHeight: config.heightPx,
  };
  const support = await VideoDecoder.isConfigSupported(asked).catch(() => null);
  if (support?.supported !== true) return null;
  const copying = new Set<Promise<void>>();
  const decoder = new VideoDecoder({
    output: (frame) => {
      const number = frame.timestamp;
      const copy = lumaOf(frame)
        .then(
          (luma) => given({ number, frame: luma }),
          () => given({ number, frame: null }),
        )
        .finally(() => {
          frame.close();
          copying.delete(copy);
        });
      copying.add(copy);
    },
    error: failed,
  });
  decoder.configure(asked);
  const copied = async (): Promise<void> => {
    await Promise.all(copying);
  };
  return {
    decode(bytes, number, isKey) {
      decoder.decode(
        new EncodedVideoChunk({ type: isKey ? 'key' : 'delta', timestamp: number, data: bytes }),
      );
    },
    async settle() {
      while (decoder.state === 'configured' && decoder.decodeQueueSize > 0)
        // Looked at again after a while, too: a decoder that fails tells nothing of its queue.
        await new Promise((resolve) => {
          decoder.addEventListener('dequeue', resolve, { once: true });
          setTimeout(resolve, 100);
        });
      await copied();
    },
    async flush() {
      await decoder.flush();
      await copied();
    },
    close() {
      if (decoder.state !== 'closed') decoder.close();
    },
  };
};
