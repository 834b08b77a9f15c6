import { z } from 'zod';
import { id, moment } from './ids';
import { framePoint } from './measurement';
import { viewId } from './terms';

/**
 * What a person says about a clip. Statements are only ever added; of each kind (and frame, for outlines) the newest stands,
 * a reader's before a sender's.
 */
export const clipStatement = z.discriminatedUnion('kind', [
  /** The length of a pixel, where the file does not say: two points and their distance, or the ruler that was found and agreed to. */
  z.object({
    kind: z.literal('calibration'),
    cmPerPixel: z.number().positive().max(1),
    from: z.enum(['two-points', 'ruler']),
    points: z.tuple([framePoint, framePoint]).nullable(),
    distanceMm: z.number().positive().max(600).nullable(),
  }),
  /** Frames of end-diastole and end-systole, counted from 0. */
  z.object({
    kind: z.literal('marks'),
    endDiastole: z.array(z.int().min(0)).max(200),
    endSystole: z.array(z.int().min(0)).max(200),
  }),
  /** Is the view there and good enough; the view may be another one than the sender named. */
  z.object({
    kind: z.literal('judgement'),
    view: viewId,
    judged: z.enum(['adequate', 'doubtful', 'not-possible']),
    /** For a short axis: what the reader makes of the cut; null where it was not judged. */
    axis: z.enum(['on-axis', 'off-axis']).nullable(),
    why: z.string().trim().max(300),
  }),
  /** The inner edge of the ventricle in a short axis, corrected by hand. */
  z.object({
    kind: z.literal('outline'),
    frame: z.int().min(0),
    points: z.array(framePoint).min(8).max(256),
  }),
  /** Where the pictures come from: a file of the machine, or a camera held before a screen. */
  z.object({ kind: z.literal('source'), source: z.enum(['machine-file', 'filmed-screen']) }),
]);
export type ClipStatement = z.infer<typeof clipStatement>;

export const clipStatementRecord = z.object({
  id,
  clipId: id,
  statement: clipStatement,
  side: z.enum(['sender', 'reader']),
  by: z.string(),
  at: moment,
});
export type ClipStatementRecord = z.infer<typeof clipStatementRecord>;

type OfKind<K extends ClipStatement['kind']> = Extract<ClipStatement, { kind: K }>;

/** The statement of a kind that stands for a clip: the reader's newest, else the sender's newest; null where there is none. */
export function standingStatement<K extends ClipStatement['kind']>(
  all: readonly ClipStatementRecord[],
  clipId: string,
  kind: K,
  frame?: number,
): {
  readonly statement: OfKind<K>;
  readonly side: 'sender' | 'reader';
  readonly by: string;
  readonly at: string;
} | null {
  const fits = all.filter(
    (r) =>
      r.clipId === clipId &&
      r.statement.kind === kind &&
      (r.statement.kind !== 'outline' || frame === undefined || r.statement.frame === frame),
  );
  const readers = fits.filter((r) => r.side === 'reader');
  const newest = (readers.length > 0 ? readers : fits).reduce<ClipStatementRecord | null>(
    (best, r) => (best === null || r.at >= best.at ? r : best),
    null,
  );
  return newest ? { ...newest, statement: newest.statement as OfKind<K> } : null;
}

/** Was the clip filmed or photographed from a screen, by the word that stands. */
export function isFilmed(all: readonly ClipStatementRecord[], clipId: string): boolean {
  return standingStatement(all, clipId, 'source')?.statement.source === 'filmed-screen';
}

type Calibration = OfKind<'calibration'>;

/** Two distances on a filmed screen must point this far apart: a camera held at a slant shortens one direction only. */
const APART_DEGREES = 30;
/** And must agree so far (common practice; half of what repeats of LA:Ao differ by). */
const AGREE_SHARE = 0.05;

/** What stands for the length of a pixel; `from` 'two-distances' is the mean of two that agree, on a filmed screen. */
export interface StandingScale {
  readonly cmPerPixel: number;
  readonly from: 'two-points' | 'ruler' | 'two-distances';
}

/** Why there is no scale on a filmed screen yet; null where there is one, or the clip was not filmed. */
export type FilmedScaleWants = 'two-distances' | 'one-more' | 'other-direction' | 'they-differ' | null;

function degreesBetween(a: Calibration, b: Calibration): number {
  const along = ({ points }: Calibration) => {
    const [from, to] = points ?? [];
    return from && to ? { x: to.x - from.x, y: to.y - from.y } : { x: 0, y: 0 };
  };
  const [p, q] = [along(a), along(b)];
  // Lines, not arrows: 170 degrees apart is 10.
  return Math.abs((Math.atan2(p.x * q.y - p.y * q.x, p.x * q.x + p.y * q.y) * 180) / Math.PI);
}

/**
 * A person's scale as it stands for a clip. On a filmed screen one distance is none: only two in clearly different
 * directions that agree make millimetres, and a ruler agreed to does not count as one.
 */
export function standingScale(
  all: readonly ClipStatementRecord[],
  clipId: string,
): { readonly scale: StandingScale | null; readonly wants: FilmedScaleWants } {
  const newest = standingStatement(all, clipId, 'calibration');
  if (!isFilmed(all, clipId)) {
    const said = newest?.statement;
    return { scale: said ? { cmPerPixel: said.cmPerPixel, from: said.from } : null, wants: null };
  }
  const drawn = all
    .filter((r) => r.clipId === clipId && r.side === (newest?.side ?? 'sender'))
    .flatMap((r) => (r.statement.kind === 'calibration' && r.statement.points ? [r.statement] : []));
  const last = drawn.at(-1);
  if (!last) return { scale: null, wants: 'two-distances' };
  const others = drawn.slice(0, -1);
  if (others.length === 0) return { scale: null, wants: 'one-more' };
  const across = others.filter((o) => {
    const between = degreesBetween(o, last);
    return Math.min(between, 180 - between) >= APART_DEGREES;
  });
  if (across.length === 0) return { scale: null, wants: 'other-direction' };
  const agreeing = across
    .filter(
      (o) =>
        Math.abs(o.cmPerPixel - last.cmPerPixel) <= AGREE_SHARE * Math.max(o.cmPerPixel, last.cmPerPixel),
    )
    .at(-1);
  if (!agreeing) return { scale: null, wants: 'they-differ' };
  return {
    scale: { cmPerPixel: (agreeing.cmPerPixel + last.cmPerPixel) / 2, from: 'two-distances' },
    wants: null,
  };
}
