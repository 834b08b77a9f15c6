import type { ToolId } from './drawing';

/** A part is some points put one by one, or a line drawn by hand. */
export type PartSpec =
  | { readonly kind: 'points'; readonly count: number }
  | {
      readonly kind: 'stroke';
      readonly closed: boolean;
      /** Points without which it is no line. */
      readonly least: number;
      /** Goes on in time only: going back takes back. */
      readonly forward: boolean;
      /** Has an axis from the middle of its ends to its far end. */
      readonly axis: boolean;
    };

export interface ToolSpec {
  readonly parts: readonly PartSpec[];
  /** Must all parts lie on one frame, on one clip, or may each lie anywhere. */
  readonly together: 'frame' | 'clip' | 'anywhere';
  /** Where time runs across, all points of a part stand on the first one's column. */
  readonly column: boolean;
}

const points = (...counts: number[]): PartSpec[] => counts.map((count) => ({ kind: 'points', count }));
const stroke = (
  closed: boolean,
  least: number,
  more: { forward?: boolean; axis?: boolean } = {},
): PartSpec => ({
  kind: 'stroke',
  closed,
  least,
  forward: more.forward ?? false,
  axis: more.axis ?? false,
});
const spec = (
  parts: readonly PartSpec[],
  together: ToolSpec['together'] = 'frame',
  column = false,
): ToolSpec => ({ parts, together, column });

/** What each tool lets one put. */
export const TOOL_SPECS: Record<ToolId, ToolSpec> = {
  length: spec(points(2)),
  pair: spec(points(2, 2)),
  'lv-set': spec(points(4, 4), 'clip', true),
  angle: spec(points(3)),
  outline: spec([stroke(true, 3)]),
  ellipse: spec(points(3)),
  discs: spec([stroke(false, 3, { axis: true })]),
  'discs-two': spec([stroke(false, 3, { axis: true }), stroke(false, 3, { axis: true })], 'anywhere'),
  time: spec(points(2)),
  slope: spec(points(2)),
  velocity: spec(points(1)),
  trace: spec([stroke(false, 3, { forward: true })]),
  calibration: spec(points(2)),
  cavity: spec([stroke(true, 8)]),
};
