import type { ClipStatement, ClipStatementRecord } from './clip-statement';
import { standingStatement } from './standing-statement';

/** Was the clip filmed or photographed from a screen, by the word that stands. */
export function isFilmed(all: readonly ClipStatementRecord[], clipId: string): boolean {
  return standingStatement(all, clipId, 'source')?.statement.source === 'filmed-screen';
}

type Calibration = Extract<ClipStatement, { kind: 'calibration' }>;

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
  if (!isFilmed(all, clipId)) {
    const said = standingStatement(all, clipId, 'calibration')?.statement;
    return { scale: said ? { cmPerPixel: said.cmPerPixel, from: said.from } : null, wants: null };
  }
  const everybodys = all.flatMap((r) =>
    r.clipId === clipId && r.statement.kind === 'calibration' && r.statement.points
      ? [{ side: r.side, statement: r.statement }]
      : [],
  );
  // A reader's distances stand before the sender's; a ruler that a reader agreed to takes nothing away from them.
  const side = everybodys.some((r) => r.side === 'reader') ? 'reader' : 'sender';
  const drawn = everybodys.filter((r) => r.side === side).map((r) => r.statement);
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
