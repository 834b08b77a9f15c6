import { LsBits } from './jpeg-ls-bits';
import type { LsLine } from './jpeg-ls-model';
import { LsModel } from './jpeg-ls-model';

export interface ScanShape {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Samples from one pixel to the next in the output. */
  readonly step: number;
  /** Which of the output's components, in the order of the scan. */
  readonly components: readonly number[];
  /** Components interleaved pixel by pixel; else line by line (or only one). */
  readonly byPixel: boolean;
  readonly near: number;
  readonly maxValue: number;
  readonly reset: number;
  readonly thresholds: readonly [number, number, number];
}

/** Longest run step by run index, as a power of two (T.87 A.2.1, table J). */
const runBits = [
  0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 9, 10, 11, 12, 13, 14, 15,
];

/** Decodes one scan into its components' places; gives where the data end, or null when they are damaged. */
export function decodeLsScan(
  bytes: Uint8Array,
  start: number,
  shape: ScanShape,
  samples: Uint8Array | Uint16Array,
): number | null {
  const { widthPx, heightPx, step, components, byPixel } = shape;
  const bits = new LsBits(bytes, start);
  const model = new LsModel(shape, bits);
  const lanes: Lane[] = components.map(() => ({
    before: roomForLine(samples, widthPx),
    line: roomForLine(samples, widthPx),
  }));
  const runIndex = components.map(() => 0);
  for (let y = 0; y < heightPx; y += 1) {
    for (const lane of lanes) {
      lane.before[widthPx + 1] = lane.before[widthPx] as number;
      lane.line[0] = lane.before[1] as number;
    }
    if (byPixel) runIndex[0] = decodeLine(model, bits, lanes, widthPx, shape.near, runIndex[0] as number);
    else
      lanes.forEach((lane, n) => {
        runIndex[n] = decodeLine(model, bits, [lane], widthPx, shape.near, runIndex[n] as number);
      });
    if (bits.invented > 8) return null;
    lanes.forEach((lane, n) => {
      let place = y * widthPx * step + (components[n] as number);
      if (step === 1) samples.set(lane.line.subarray(1, widthPx + 1), place);
      else for (let x = 1; x <= widthPx; x += 1, place += step) samples[place] = lane.line[x] as number;
      const spent = lane.before;
      lane.before = lane.line;
      lane.line = spent;
    });
  }
  return bits.end();
}

interface Lane {
  before: LsLine;
  line: LsLine;
}

/** Lines of the kind of their samples, so that a line is copied in one piece. */
function roomForLine(samples: Uint8Array | Uint16Array, widthPx: number): LsLine {
  return samples instanceof Uint8Array ? new Uint8Array(widthPx + 2) : new Uint16Array(widthPx + 2);
}

/** One line of the lanes that share their runs; gives the run index after it. */
function decodeLine(
  model: LsModel,
  bits: LsBits,
  lanes: readonly Lane[],
  widthPx: number,
  near: number,
  startIndex: number,
): number {
  let index = startIndex;
  let x = 1;
  const only = lanes.length === 1 ? lanes[0] : undefined;
  while (x <= widthPx) {
    if (only !== undefined) x = model.regularWhile(only.before, only.line, x, widthPx);
    if (x > widthPx) break;
    if (only === undefined && !isFlat(lanes, x, near)) {
      for (const { before, line } of lanes) line[x] = model.regular(before, line, x);
      x += 1;
      continue;
    }
    let run = 0;
    const room = widthPx - x + 1;
    let stopped = false;
    while (run < room) {
      if (bits.bit() === 1) {
        const whole = 1 << (runBits[index] as number);
        if (run + whole <= room && index < 31) index += 1;
        run = Math.min(room, run + whole);
      } else {
        run = Math.min(room, run + bits.take(runBits[index] as number));
        stopped = true;
        break;
      }
    }
    for (const { line } of lanes) line.fill(line[x - 1] as number, x, x + run);
    x += run;
    if (!stopped || x > widthPx) continue;
    for (const { before, line } of lanes)
      line[x] = model.interruption(before, line, x, runBits[index] as number, lanes.length > 1);
    if (index > 0) index -= 1;
    x += 1;
  }
  return index;
}

function isFlat(lanes: readonly Lane[], x: number, near: number): boolean {
  for (const { before, line } of lanes) {
    const a = line[x - 1] as number;
    const b = before[x] as number;
    const c = before[x - 1] as number;
    const d = before[x + 1] as number;
    if (Math.abs(d - b) > near || Math.abs(b - c) > near || Math.abs(c - a) > near) return false;
  }
  return true;
}
