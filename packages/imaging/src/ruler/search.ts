import { exactCos, exactSin } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import type { Plane } from '../picture/plane';
import { centile } from '../picture/plane';
import type { SectorGeometry } from '../sector/sector-geometry';
import type { EdgeStrip } from './edge-strip';
import { edgeStrip } from './edge-strip';
import type { Hidden, Mark, MarkSizes } from './marks';
import { hiddenBySector, markSizes, smallMarks, withStrokesHidden } from './marks';
import type { Progression, ProgressionFrame } from './progression';
import { bestProgression } from './progression';

/** A row of ticks on the screen. */
export interface TickRow {
  readonly series: Progression;
  /** From tick to tick along the row. */
  readonly pitchPx: number;
  /** Direction of the row from straight down, positive to the right: its tangent. */
  readonly slant: number;
  /** Stands along the fan's own side. */
  readonly onEdge: boolean;
  /** Where the skin lies in ticks from the first one; whole where a tick stands there. */
  readonly skinAt: number;
  /** Middle of each tick, original pixels. */
  readonly ticks: readonly { readonly x: number; readonly y: number; readonly k: number }[];
}

/** What is searched: the still picture, and the grey of its background. */
export interface SearchPicture {
  readonly still: GrayFrame;
  readonly plane: Plane;
  readonly background: number;
  readonly sector: SectorGeometry;
}

/** A series of fewer points is none; one that is good enough ends the search. */
const leastScore = 4.5;
const goodScore = 5.5;
const levelsAbove = [28, 60, 110];
/** Half a degree, the step of slants, as a tangent. */
const slantStep = 0.0087;
/** From this lean of the fan on a screen counts as turned. */
const leastLean = 0.01;
/** Ticks of a slanted row stand this part of the depth apart at least. */
const closestTicks = 0.022;
/** And reach over this part of it at least. */
const leastReach = 0.5;

/** The best row of ticks: upright beside the sector, along one of the fan's sides, or aslant as on a screen that was filmed. */
export function findTickRow(picture: SearchPicture): TickRow | null {
  const hidden = hiddenBySector(picture.sector, picture.still);
  const turned = Math.abs(leanOf(picture.sector)) > leastLean ? turnedRow(picture, hidden) : null;
  const levels = marksAt(picture, hidden, markSizes(picture.still), 0);
  const upright = uprightRow(picture, levels);
  if (turned && turned.series.score >= goodScore) {
    // Fans lean a little on upright screens too.
    const asGood = upright !== null && upright.series.score > turned.series.score - 0.5;
    return asGood && Math.abs(turned.slant) < 2 * leastLean ? upright : turned;
  }
  if (upright && upright.series.score >= goodScore + 1.5) return upright;
  const rows = [turned, upright, ...edgeRows(picture)].filter((row) => row !== null);
  const best = bestOf(rows);
  if (best && best.series.score >= goodScore) return best;
  return bestOf([best, slantedRow(picture, levels)].filter((row) => row !== null));
}

function bestOf(rows: readonly TickRow[]): TickRow | null {
  const best = [...rows].sort((a, b) => b.series.score - a.series.score)[0];
  return best && best.series.score >= leastScore ? best : null;
}

/** Columns of marks that share a left edge, a right edge or a middle within 1.6 px. */
function columnsOf(marks: readonly Mark[], slant: number): Mark[][] {
  const out: Mark[][] = [];
  const keys = [
    (m: Mark): number => m.left - slant * m.y,
    (m: Mark): number => m.right - slant * m.y,
    (m: Mark): number => (m.left + m.right) / 2 - slant * m.y,
  ];
  for (const key of keys) {
    const sorted = [...marks].sort((a, b) => key(a) - key(b));
    for (let i = 0, j = 0; i < sorted.length; i += 1) {
      j = Math.max(j, i);
      while (j + 1 < sorted.length && key(sorted[j + 1] as Mark) - key(sorted[i] as Mark) <= 3.2) j += 1;
      const previousEnds = i > 0 && key(sorted[j] as Mark) - key(sorted[i - 1] as Mark) <= 3.2;
      if (j - i >= 3 && j - i < 120 && !previousEnds) out.push(sorted.slice(i, j + 1));
    }
  }
  return out;
}

interface Slanted {
  readonly series: Progression;
  readonly slant: number;
}

/** Best series over some slants; a slanted one must be better by a point than one that is not. */
function bestSeries(
  levels: readonly (readonly Mark[])[],
  slants: readonly number[],
  frame: ProgressionFrame,
): Slanted | null {
  let best: Slanted | null = null;
  for (const slant of slants)
    for (const marks of levels) {
      // A screen full of small marks (noise, a page of text) has no ruler that could be told apart.
      if (marks.length > (slant === 0 ? 1200 : 250)) continue;
      for (const column of columnsOf(marks, slant)) {
        const series = bestProgression(column, frame);
        const lead = slant === 0 ? 0 : 1;
        if (series && (!best || series.score > best.series.score + lead)) best = { series, slant };
      }
    }
  return best;
}

/** How far a fan leans as a whole: a screen that was filmed turned. */
function leanOf(sector: SectorGeometry): number {
  const lean = sector.shape === 'box' ? 0 : (sector.leftAngleRad + sector.rightAngleRad) / 2;
  return Math.abs(lean) < 0.16 ? lean : 0;
}

function screenFrame({ still, sector }: SearchPicture, aslant: boolean): ProgressionFrame {
  const faceY = sector.shape === 'box' ? sector.box.y0 : sector.apexYPx + sector.innerRadiusPx;
  const bottomY = sector.shape === 'box' ? sector.box.y1 : sector.apexYPx + sector.outerRadiusPx;
  const leastPitchPx = aslant ? Math.max(4, closestTicks * (bottomY - faceY)) : 4;
  return {
    topPx: faceY,
    bottomPx: Math.min(still.heightPx, bottomY),
    heightPx: still.heightPx,
    leastPitchPx,
  };
}

/** Ticks from the row's first one to the skin, negative where the row begins below it. */
function skinAt({ firstYPx, pitchPx }: Progression, topPx: number): number {
  return (topPx - firstYPx) / pitchPx;
}

/** Middles of the ticks in a series' own picture: on one straight line, since a number may hang on a tick's mark. */
function tickPlaces({ series, slant }: Slanted): { x: number; y: number; k: number }[] {
  const offsets = series.marks.map(({ mark }) => (mark.left + mark.right) / 2 - slant * mark.y);
  const offset = centile(offsets, 0.5);
  return series.marks.map(({ k }) => {
    const y = series.firstYPx + k * series.pitchPx;
    return { x: offset + slant * y, y, k };
  });
}

function onScreenRow(found: Slanted, { topPx }: ProgressionFrame): TickRow {
  const { series, slant } = found;
  const pitchPx = series.pitchPx * Math.sqrt(1 + slant * slant);
  return { series, slant, onEdge: false, ticks: tickPlaces(found), pitchPx, skinAt: skinAt(series, topPx) };
}

/** Marks of a picture by three levels; strokes are known by the lowest one, since a dim line breaks up at the others. */
function marksAt(
  { still, background }: SearchPicture,
  hidden: Hidden,
  sizes: MarkSizes,
  slant: number,
  above: readonly number[] = levelsAbove,
): Mark[][] {
  const lowest = background + (above[0] as number);
  const without = withStrokesHidden(still, hidden, lowest, sizes.longest, slant);
  return above.map((by) => smallMarks(still, without, background + by, background, sizes));
}

function uprightRow(picture: SearchPicture, levels: readonly (readonly Mark[])[]): TickRow | null {
  const frame = screenFrame(picture, false);
  const best = bestSeries(levels, [0], frame);
  return best ? onScreenRow(best, frame) : null;
}

/** On a screen that was filmed turned the ruler is turned as the fan is. */
function turnedRow(picture: SearchPicture, hidden: Hidden): TickRow | null {
  const near = leanOf(picture.sector);
  const levels = marksAt(picture, hidden, markSizes(picture.still), near);
  const around = [0, 1, -1, 2, -2].map((n) => near + n * slantStep);
  const frame = screenFrame(picture, true);
  const best = bestSeries(levels, around, frame);
  return best ? onScreenRow(best, frame) : null;
}

/** Rows at any slant up to 8 degrees. */
function slantedRow(picture: SearchPicture, levels: readonly (readonly Mark[])[]): TickRow | null {
  const wide = Array.from({ length: 16 }, (_, n) => [(n + 1) * slantStep, -(n + 1) * slantStep]).flat();
  const frame = screenFrame(picture, true);
  const best = bestSeries(levels, wide, frame);
  return best && best.series.reach >= leastReach ? onScreenRow(best, frame) : null;
}

/** Ticks along the fan's sides: just outside it, or upon the side itself, where only what is much brighter than tissue counts. */
function edgeRows(picture: SearchPicture): TickRow[] {
  const { sector, still, plane } = picture;
  if (sector.shape === 'box' || sector.outerRadiusPx > 4 * still.heightPx) return [];
  const sizes = markSizes(still);
  const wide = 0.075 * still.widthPx;
  // Where the sector's borders are faint its sides are not known to the degree.
  const reach = sector.confidence < 0.5 ? 14 : 4;
  const slants = [0, ...Array.from({ length: reach }, (_, n) => [n + 1, -n - 1]).flat()].map(
    (n) => n * slantStep,
  );
  return ([-1, 1] as const).flatMap((side) =>
    [
      { strip: edgeStrip(plane, sector, side, -1.5, wide), above: levelsAbove },
      { strip: edgeStrip(plane, sector, side, 5, 6), above: [90, 140] },
    ].flatMap(({ strip, above }) => {
      const levels = marksAt({ ...picture, still: strip.frame }, null, sizes, 0, above);
      const best = bestSeries(levels, slants, {
        ...strip,
        heightPx: still.heightPx,
        leastPitchPx: Math.max(4, closestTicks * (strip.bottomPx - strip.topPx)),
      });
      if (!best || best.series.reach < leastReach) return [];
      return [edgeRow(best, strip, side)];
    }),
  );
}

function edgeRow(found: Slanted, strip: EdgeStrip, side: -1 | 1): TickRow {
  const { series, slant } = found;
  const ticks = tickPlaces(found).map(({ x, y, k }) => ({ ...strip.onScreen(x, y), k }));
  const base = exactSin(strip.angleRad) / exactCos(strip.angleRad);
  const turned = (base + side * slant) / (1 - base * side * slant);
  const pitchPx = series.pitchPx * Math.sqrt(1 + slant * slant);
  return { series, slant: turned, onEdge: true, ticks, pitchPx, skinAt: skinAt(series, strip.topPx) };
}
