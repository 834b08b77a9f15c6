import type { Box } from '@chordae/contract';
import type { JpegComponent, JpegFrame } from './jpeg-heads';

/** The units (T.81 A.2: 8 by 8 pixels, or more with subsampling) in which a frame is coded. */
export interface Units {
  /** Blocks across and down of the component that has most of them. */
  readonly most: { readonly across: number; readonly down: number };
  readonly widthPx: number;
  readonly heightPx: number;
  /** Units in a row, and rows of them. */
  readonly across: number;
  readonly down: number;
}

export function unitsOf(frame: JpegFrame): Units {
  const single = frame.components.length === 1;
  const most = {
    across: single ? 1 : Math.max(...frame.components.map((part) => part.across)),
    down: single ? 1 : Math.max(...frame.components.map((part) => part.down)),
  };
  const [widthPx, heightPx] = [8 * most.across, 8 * most.down];
  return {
    most,
    widthPx,
    heightPx,
    across: Math.ceil(frame.widthPx / widthPx),
    down: Math.ceil(frame.heightPx / heightPx),
  };
}

/** Whether a block is seen wholly, not at all, or, by its samples, in part (1: seen). */
export type Seen = 'all' | 'none' | Uint8Array;

/** What of a frame's blocks lies in the boxes. */
export interface VisibleBlocks {
  /** For each unit: 0 not seen, 1 wholly, 2 on the edge. */
  readonly states: Uint8Array;
  /** Of a block of a unit on the edge. */
  seen(component: number, unit: number, block: number): Seen;
}

const known = new WeakMap<readonly Box[], { readonly of: string; readonly blocks: VisibleBlocks }>();

/** Worked out once for all frames that are masked alike: the same list of boxes over frames of one make. */
export function visibleBlocks(boxes: readonly Box[], frame: JpegFrame, units: Units): VisibleBlocks {
  const sampling = frame.components.map(({ across, down }) => `${across}x${down}`);
  const of = [frame.widthPx, frame.heightPx, ...sampling].join(' ');
  const before = known.get(boxes);
  if (before?.of === of) return before.blocks;
  const blocks = workOut(boxes, frame, units);
  known.set(boxes, { of, blocks });
  return blocks;
}

function workOut(boxes: readonly Box[], frame: JpegFrame, units: Units): VisibleBlocks {
  const { widthPx, heightPx } = frame;
  const whole = boxes.some((b) => b.x0 <= 0 && b.y0 <= 0 && b.x1 >= widthPx - 1 && b.y1 >= heightPx - 1);
  if (whole) return { states: new Uint8Array(units.across * units.down).fill(1), seen: () => 'all' };
  const visible = visiblePixels(boxes, widthPx, heightPx);
  const samples = new Map<string, Seen>();
  return {
    states: unitStates(visible, frame, units),
    seen(component, unit, block) {
      const key = `${component} ${unit} ${block}`;
      let seen = samples.get(key);
      if (seen === undefined) {
        seen = seenSamples(visible, frame, units, component, unit, block);
        samples.set(key, seen);
      }
      return seen;
    },
  };
}

/** 1 for each pixel that lies in one of the boxes. */
function visiblePixels(boxes: readonly Box[], widthPx: number, heightPx: number): Uint8Array {
  const out = new Uint8Array(widthPx * heightPx);
  for (const box of boxes) {
    const [left, right] = [Math.max(0, box.x0), Math.min(widthPx - 1, box.x1)];
    if (right < left) continue;
    for (let y = Math.max(0, box.y0); y <= Math.min(heightPx - 1, box.y1); y += 1)
      out.fill(1, y * widthPx + left, y * widthPx + right + 1);
  }
  return out;
}

function unitStates(visible: Uint8Array, { widthPx, heightPx }: JpegFrame, units: Units): Uint8Array {
  const states = new Uint8Array(units.across * units.down);
  for (let row = 0; row < units.down; row += 1)
    for (let column = 0; column < units.across; column += 1) {
      const [x0, y0] = [column * units.widthPx, row * units.heightPx];
      const [x1, y1] = [Math.min(widthPx, x0 + units.widthPx), Math.min(heightPx, y0 + units.heightPx)];
      let seen = 0;
      for (let y = y0; y < y1; y += 1)
        for (let x = x0; x < x1; x += 1) seen += visible[y * widthPx + x] as number;
      states[row * units.across + column] = seen === 0 ? 0 : seen === (x1 - x0) * (y1 - y0) ? 1 : 2;
    }
  return states;
}

/**
 * A sample of halved chroma counts as seen with any of its pixels: those that are not are black by their luma. Beyond the
 * picture's edge its last pixels count.
 */
function seenSamples(
  visible: Uint8Array,
  frame: JpegFrame,
  units: Units,
  component: number,
  unit: number,
  block: number,
): Seen {
  const part = frame.components[component] as JpegComponent;
  const single = frame.components.length === 1;
  const [across, down] = single ? [1, 1] : [part.across, part.down];
  const [stepX, stepY] = [units.most.across / across, units.most.down / down];
  const left = (unit % units.across) * units.widthPx + 8 * stepX * (block % across);
  const top = Math.floor(unit / units.across) * units.heightPx + 8 * stepY * Math.floor(block / across);
  const out = new Uint8Array(64);
  for (let y = 0; y < 8; y += 1)
    for (let x = 0; x < 8; x += 1)
      for (let dy = 0; dy < stepY; dy += 1)
        for (let dx = 0; dx < stepX; dx += 1) {
          const px = Math.min(frame.widthPx - 1, Math.floor(left + x * stepX + dx));
          const py = Math.min(frame.heightPx - 1, Math.floor(top + y * stepY + dy));
          if (visible[py * frame.widthPx + px] === 1) out[8 * y + x] = 1;
        }
  const count = out.reduce((sum, one) => sum + one, 0);
  return count === 64 ? 'all' : count === 0 ? 'none' : out;
}
