import {
  type ClipDescription,
  type ClipStatementRecord,
  type DrawnShape,
  type FilmedScaleWants,
  type FramePoint,
  type Geometry,
  isFilmed,
  type MeasurementCode,
  type Region,
  type StandingScale,
  standingScale,
} from '@chordae/contract';
import type { Drawn, DrawnValues } from '@chordae/measurement';
import { measureDrawn, planeOf, regionAt, regionsWith, scaleOf, setLengths } from '@chordae/measurement';
import type { Drawing, Part, ToolId } from './drawing';

/** A clip as measuring needs it. */
export interface MeasuredClip {
  readonly id: string;
  readonly description: Pick<ClipDescription, 'regions' | 'widthPx' | 'heightPx'>;
  /** A person's word on the length of a pixel; null where nobody said. */
  readonly calibration: StandingScale | null;
  /** Filmed from a screen: what is still wanted before a millimetre; absent for what a machine wrote. */
  readonly filmed?: { readonly wants: FilmedScaleWants };
}

/** One shape of a drawing with what it says. */
export interface Reading {
  readonly key: string;
  readonly shape: DrawnShape;
  readonly clipId: string;
  readonly frame: number;
  readonly drawn: Drawn;
  readonly second: { readonly clipId: string; readonly frame: number } | null;
  readonly values: DrawnValues;
  /** Set where the tool itself says what is measured. */
  readonly code: MeasurementCode | null;
}

export const SHAPE_OF: Record<Exclude<ToolId, 'calibration' | 'cavity'>, DrawnShape> = {
  length: 'length',
  pair: 'length',
  'lv-set': 'length',
  angle: 'angle',
  outline: 'outline',
  ellipse: 'ellipse',
  discs: 'discs',
  'discs-two': 'discs',
  time: 'time',
  slope: 'slope',
  velocity: 'velocity',
  trace: 'trace',
};

export type ClipsById = ReadonlyMap<string, MeasuredClip>;

export function regionsOf(clips: ClipsById, clipId: string): readonly Region[] {
  const clip = clips.get(clipId);
  return clip ? regionsWith(clip.description, clip.calibration) : [];
}

function reading(
  clips: ClipsById,
  part: Part,
  shape: DrawnShape,
  points: readonly FramePoint[],
  more: { readonly key: string; readonly code?: MeasurementCode; readonly second?: Part },
): Reading {
  const { second } = more;
  const drawn: Drawn = {
    shape,
    points,
    axis: part.axis,
    second: second ? { points: second.points, axis: second.axis } : null,
  };
  const regions = regionsOf(clips, part.clipId);
  const values = measureDrawn(regions, drawn, second ? regionsOf(clips, second.clipId) : regions);
  return {
    key: more.key,
    shape,
    clipId: part.clipId,
    frame: part.frame,
    drawn,
    second: second ? { clipId: second.clipId, frame: second.frame } : null,
    values,
    code: more.code ?? null,
  };
}

/** Everything that a drawing says so far; `cross` stands for the point that is just being put. */
export function readingsOf(
  drawing: Drawing,
  clips: ClipsById,
  cross: FramePoint | null = null,
): readonly Reading[] {
  const { tool } = drawing;
  if (tool === 'calibration' || tool === 'cavity') return [];
  const parts = drawing.parts.map((p) => (p.done || !cross ? p : { ...p, points: [...p.points, cross] }));
  const shape = SHAPE_OF[tool];
  const pixels = ratioOf(drawing, parts, clips);
  if (pixels) return pixels;
  if (tool === 'pair')
    return parts.flatMap((part, n) =>
      part.points.length < 2
        ? []
        : [reading(clips, part, shape, part.points, { key: `${n}`, code: n === 0 ? 'la-sax' : 'ao-sax' })],
    );
  if (tool === 'lv-set')
    return parts.flatMap((part, n) => {
      const region = part.points[0] ? regionAt(regionsOf(clips, part.clipId), part.points[0]) : null;
      const along = region?.unitX === 's' ? 'depth' : 'as-put';
      return setLengths(n === 0 ? 'diastole' : 'systole', part.points, along).map((l) =>
        reading(clips, part, shape, l.points, { key: l.code, code: l.code }),
      );
    });
  const [first, second] = parts;
  if (!first) return [];
  const two = tool === 'discs-two' && second?.done ? { second } : {};
  return [reading(clips, first, shape, first.points, { key: 'only', ...two })];
}

/** On a clip without any scale, two lengths still give their ratio: LA and Ao, or the cavity in diastole and systole. */
function ratioOf({ tool }: Drawing, parts: readonly Part[], clips: ClipsById): readonly Reading[] | null {
  const [first, second] = parts;
  if ((tool !== 'pair' && tool !== 'lv-set') || !first) return null;
  if (regionsOf(clips, first.clipId).some((r) => r.kind !== 'other' && r.usable)) return null;
  const lengthOf = (part: Part, moment: 'diastole' | 'systole') =>
    tool === 'pair'
      ? part.points
      : (setLengths(moment, part.points, 'as-put').find((l) => l.code === 'lvidd' || l.code === 'lvids')
          ?.points ?? []);
  const [a, b] = [lengthOf(first, 'diastole'), second ? lengthOf(second, 'systole') : []];
  if (!second || a.length < 2 || b.length < 2) return [];
  const code = tool === 'pair' ? 'la-ao-ratio' : 'fs-ratio';
  return [
    reading(clips, first, 'ratio', a, { key: code, code, second: { ...second, points: b, axis: null } }),
  ];
}

/** A scale that says nothing, for what needs none. */
const NO_SCALE = { x: 1, unitX: 'cm', y: 1, unitY: 'cm', baselineY: null } as const;

function calibrationWords(clip: MeasuredClip | undefined, region: Region | null): string {
  const files = region && clip?.description.regions.some((r) => sameRectangle(r, region));
  if (files) return `region of the file (${region.kind})`;
  const from = clip?.calibration?.from;
  if (from === 'two-distances') return 'two checked distances on a filmed screen';
  return from === 'ruler' ? "a person's word on the ruler" : "a person's two points";
}

function sameRectangle(a: Region, b: Region): boolean {
  return a.kind === b.kind && a.x0 === b.x0 && a.y0 === b.y0 && a.x1 === b.x1 && a.y1 === b.y1;
}

type DrawnPart = NonNullable<Geometry['second']>;

/** The drawing as it is kept with its measurement; null where nothing can be measured, so nothing is kept. */
export function geometryOf(reading: Reading, clips: ClipsById): Geometry | null {
  const kept = (drawn: Pick<Drawn, 'points' | 'axis'>, clipId: string, frame: number): DrawnPart | null => {
    const plane = planeOf(regionsOf(clips, clipId), drawn.points);
    if (!plane.ok) return null;
    const axis = drawn.axis ? ([drawn.axis[0], drawn.axis[1]] as [FramePoint, FramePoint]) : null;
    return { points: [...drawn.points], clipId, frame, scale: scaleOf(plane.value), axis };
  };
  const { second } = reading;
  if (reading.shape === 'ratio') {
    if (!reading.values.ok || !second || !reading.drawn.second) return null;
    const bare = (points: readonly FramePoint[], clipId: string, frame: number): DrawnPart => ({
      points: [...points],
      clipId,
      frame,
      scale: NO_SCALE,
      axis: null,
    });
    return {
      ...bare(reading.drawn.points, reading.clipId, reading.frame),
      shape: 'ratio',
      calibration: 'none: two lengths in pixels',
      second: bare(reading.drawn.second.points, second.clipId, second.frame),
    };
  }
  const first = kept(reading.drawn, reading.clipId, reading.frame);
  const other =
    second && reading.drawn.second
      ? kept({ axis: null, ...reading.drawn.second }, second.clipId, second.frame)
      : null;
  if (!first || !reading.values.ok || (second && !other)) return null;
  const [point] = reading.drawn.points;
  const region = point ? regionAt(regionsOf(clips, reading.clipId), point) : null;
  const calibration = calibrationWords(clips.get(reading.clipId), region);
  return { ...first, shape: reading.shape, calibration, second: other };
}

/** How it was measured, from the kind of picture. */
export function methodOf(reading: Reading, clips: ClipsById): 'm-mode' | 'doppler' | '2d' | 'other' {
  if (reading.shape === 'ratio') return '2d';
  const [point] = reading.drawn.points;
  const kind = point ? regionAt(regionsOf(clips, reading.clipId), point)?.kind : null;
  if (kind === 'm-mode') return 'm-mode';
  if (kind === 'spectral') return 'doppler';
  return kind === '2d' ? '2d' : 'other';
}

/** What persons said about the length of a pixel, and whether the clip was filmed from a screen. */
export function scaleSaid(
  statements: readonly ClipStatementRecord[],
  clipId: string,
): Pick<MeasuredClip, 'calibration' | 'filmed'> {
  const { scale, wants } = standingScale(statements, clipId);
  return { calibration: scale, ...(isFilmed(statements, clipId) ? { filmed: { wants } } : {}) };
}
