import { exactCos, exactSin } from '@chordae/units';
import type { SectorGeometry } from './sector-geometry';

/** Steps of an arc: at 600 pixels of radius and 90 degrees it strays by less than a fifth of a pixel from its chords. */
const arcSteps = 36;

/** The sector grown by `marginPx` on every side as a closed outline, x and y in turn; it may reach beyond the picture. */
export function fanOutline(g: SectorGeometry, marginPx: number): number[] {
  const margin = Math.max(0, marginPx);
  const [outer, inner] = [g.outerRadiusPx + margin, Math.max(0, g.innerRadiusPx - margin)];
  const apex = grownApex(g, margin);
  const points = [
    ...arc(g, apex, outer, 1),
    ...(g.shape === 'fan-flat-top' ? flatTop(g, apex, inner) : arc(g, apex, inner, -1)),
  ];
  return points.map((value) => Math.round(10 * Math.max(-20_000, Math.min(100_000, value))) / 10);
}

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Where the two sides meet after each was moved outwards: straight above the apex of an even fan. */
function grownApex(g: SectorGeometry, margin: number): Point {
  const half = (g.rightAngleRad - g.leftAngleRad) / 2;
  const middle = (g.rightAngleRad + g.leftAngleRad) / 2;
  const back = margin / Math.max(0.05, exactSin(half));
  return { x: g.apexXPx - back * exactSin(middle), y: g.apexYPx - back * exactCos(middle) };
}

/** Points on a circle round the sector's own apex, between the grown sides. */
function arc(g: SectorGeometry, apex: Point, radius: number, way: 1 | -1): number[] {
  const out: number[] = [];
  for (let step = 0; step <= arcSteps; step += 1) {
    const part = way === 1 ? step / arcSteps : 1 - step / arcSteps;
    const angle = g.leftAngleRad + part * (g.rightAngleRad - g.leftAngleRad);
    const along = reach(g, apex, angle, radius);
    out.push(apex.x + along * exactSin(angle), apex.y + along * exactCos(angle));
  }
  return out;
}

/** How far from the grown apex a beam is at the circle of that radius round the sector's own apex. */
function reach(g: SectorGeometry, apex: Point, angle: number, radius: number): number {
  const [dx, dy] = [apex.x - g.apexXPx, apex.y - g.apexYPx];
  const along = dx * exactSin(angle) + dy * exactCos(angle);
  return -along + Math.sqrt(Math.max(0, along * along - (dx * dx + dy * dy) + radius * radius));
}

function flatTop(g: SectorGeometry, apex: Point, inner: number): number[] {
  const y = g.apexYPx + inner;
  const at = (angle: number): number[] => [apex.x + ((y - apex.y) * exactSin(angle)) / exactCos(angle), y];
  return [...at(g.rightAngleRad), ...at(g.leftAngleRad)];
}
