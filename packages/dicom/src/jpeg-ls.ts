import type { CodedSamples, FrameHead, WantedSize } from './coded-samples';
import { nextSegment, readFrameHead, roomFor } from './coded-samples';
import type { ScanShape } from './jpeg-ls-scan';
import { decodeLsScan } from './jpeg-ls-scan';

/** Values of an LSE preset segment (ITU-T T.87 C.2.4.1.1); 0 means the default. */
interface Preset {
  readonly maxValue: number;
  readonly t1: number;
  readonly t2: number;
  readonly t3: number;
  readonly reset: number;
}

const noPreset: Preset = { maxValue: 0, t1: 0, t2: 0, t3: 0, reset: 0 };

/**
 * JPEG-LS, lossless and near-lossless (ITU-T T.87), without mapping tables or restart intervals; by plane, line or
 * pixel. null when damaged or made otherwise.
 */
export function decodeJpegLs(bytes: Uint8Array, wanted: WantedSize): CodedSamples | null {
  let head: FrameHead | null = null;
  let samples: Uint8Array | Uint16Array | null = null;
  let preset = noPreset;
  const seen = new Set<number>();
  let at = 2;
  for (;;) {
    const segment = nextSegment(bytes, at);
    if (segment === null || segment.marker === 0xd9) break;
    const { marker, body } = segment;
    at = segment.end;
    if (marker === 0xf7) {
      if (head !== null) return null;
      head = readFrameHead(body);
      samples = head === null ? null : roomFor(head, wanted);
      if (samples === null) return null;
    } else if (marker === 0xf8) {
      if (body[0] !== 1 || body.length < 11) return null;
      const word = (place: number): number => ((body[place] ?? 0) << 8) | (body[place + 1] ?? 0);
      preset = { maxValue: word(1), t1: word(3), t2: word(5), t3: word(7), reset: word(9) };
    } else if (marker === 0xdd) return null;
    else if (marker === 0xda) {
      if (head === null || samples === null) return null;
      const shape = readShape(body, head, preset);
      if (shape === null) return null;
      const end = decodeLsScan(bytes, at, shape, samples);
      if (end === null) return null;
      for (const component of shape.components) seen.add(component);
      at = end;
    }
  }
  if (head === null || samples === null || seen.size !== head.componentIds.length) return null;
  const { widthPx, heightPx, precision } = head;
  return { widthPx, heightPx, components: head.componentIds.length, precision, samples };
}

function readShape(body: Uint8Array, head: FrameHead, preset: Preset): ScanShape | null {
  const count = body[0] ?? 0;
  if (count < 1 || body.length < 4 + 2 * count) return null;
  const components: number[] = [];
  for (let n = 0; n < count; n += 1) {
    const component = head.componentIds.indexOf(body[1 + 2 * n] ?? -1);
    // A mapping table stands beside the component's number.
    if (component < 0 || components.includes(component) || body[2 + 2 * n] !== 0) return null;
    components.push(component);
  }
  const near = body[1 + 2 * count] ?? 0;
  const interleave = body[2 + 2 * count] ?? 0;
  if ((body[3 + 2 * count] ?? 0) !== 0 || interleave > 2 || (interleave === 0 && count > 1)) return null;
  const maxValue = preset.maxValue === 0 ? 2 ** head.precision - 1 : preset.maxValue;
  if (maxValue > 2 ** head.precision - 1 || near > Math.min(255, maxValue >> 1)) return null;
  const { widthPx, heightPx } = head;
  return {
    widthPx,
    heightPx,
    step: head.componentIds.length,
    components,
    byPixel: interleave === 2 && count > 1,
    near,
    maxValue,
    reset: preset.reset === 0 ? 64 : preset.reset,
    thresholds: thresholds(preset, maxValue, near),
  };
}

/** Default thresholds of T.87 C.2.4.1.1.1, each replaced by the preset's own. */
function thresholds(preset: Preset, maxValue: number, near: number): readonly [number, number, number] {
  const clamp = (value: number, least: number): number => (value > maxValue || value < least ? least : value);
  const wide = maxValue >= 128;
  const factor = wide ? (Math.min(maxValue, 4095) + 128) >> 8 : Math.floor(256 / (maxValue + 1));
  const one = wide ? factor + 2 + 3 * near : Math.max(2, Math.floor(3 / factor) + 3 * near);
  const two = wide ? 4 * factor + 3 + 5 * near : Math.max(3, Math.floor(7 / factor) + 5 * near);
  const three = wide ? 17 * factor + 4 + 7 * near : Math.max(4, Math.floor(21 / factor) + 7 * near);
  const t1 = preset.t1 === 0 ? clamp(one, near + 1) : preset.t1;
  const t2 = preset.t2 === 0 ? clamp(two, t1) : preset.t2;
  const t3 = preset.t3 === 0 ? clamp(three, t2) : preset.t3;
  return [t1, t2, t3];
}
