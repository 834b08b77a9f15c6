import type { Problem, Region } from '@chordae/contract';
import { double, int32, items, uint16, uint32 } from './attributes';
import type { DataSet } from './data-set';
import { problem } from './source';

type Kind = Region['kind'];
type Unit = Region['unitX'];

/** Physical units, PS3.3 C.8.5.5.1.15. Those that no measurement uses are 'none'. */
const units = new Map<number, Unit>([
  [3, 'cm'],
  [4, 's'],
  [5, 'hz'],
  [7, 'cm/s'],
]);

/** Depth that a heart picture of a mouse to a horse can show; limits are ours (STANDARDS 1.8). */
const shallowestCm = 1;
const deepestCm = 35;
/** Sweep length and velocity span beyond which a scale is no scale of an echo screen; ours. */
const longestSweepS = 60;
const widestVelocityCmS = 2000;

/** What a region is, from spatial format and data type: PS3.3 C.8.5.5.1.1, C.8.5.5.1.2. */
export function kindOf(format: number, type: number): Kind {
  if (type === 0xd || type === 0xe) return 'other';
  if (format === 1) return '2d';
  if (format === 2) return 'm-mode';
  if (format === 3) return 'spectral';
  return format === 4 ? 'trace' : 'other';
}

/**
 * Regions of (0018,6011) with the checks that real files make necessary. Bounds are clamped by at most one pixel;
 * what contradicts the picture is kept but `usable: false` with REGION_BEYOND_PICTURE, REGION_SCALE_MISSING,
 * REGION_SCALE_IMPLAUSIBLE or REGION_NOT_MEASURED.
 */
export function readRegions(
  dataSet: DataSet,
  widthPx: number,
  heightPx: number,
): { readonly regions: Region[]; readonly problems: Problem[] } {
  const problems: Problem[] = [];
  const regions = items(dataSet, 'x00186011')
    .slice(0, 64)
    .flatMap((item, number) => {
      const read = readRegion(item, widthPx, heightPx);
      if (read === null) {
        problems.push(problem('REGION_INCOMPLETE', { region: number + 1 }));
        return [];
      }
      if (read.clamped) problems.push(problem('REGION_EDGE_CLAMPED', { region: number + 1 }));
      if (!read.region.usable && read.region.kind !== 'other')
        problems.push(problem(read.region.whyNot ?? 'REGION_NOT_MEASURED', { region: number + 1 }));
      return [read.region];
    });
  return { regions, problems };
}

function readRegion(
  item: DataSet,
  widthPx: number,
  heightPx: number,
): { region: Region; clamped: boolean } | null {
  const format = uint16(item, 'x00186012');
  const type = uint16(item, 'x00186014');
  const corners = ['x00186018', 'x0018601a', 'x0018601c', 'x0018601e'].map((tag) => uint32(item, tag));
  const [x0, y0, x1, y1] = corners;
  if (format === null || type === null) return null;
  if (x0 == null || y0 == null || x1 == null || y1 == null) return null;
  const flags = uint32(item, 'x00186016') ?? 0;
  const clamped = x1 === widthPx || y1 === heightPx;
  const base = {
    x0,
    y0,
    x1: x1 === widthPx ? widthPx - 1 : x1,
    y1: y1 === heightPx ? heightPx - 1 : y1,
    kind: kindOf(format, type),
    unitX: units.get(uint16(item, 'x00186024') ?? 0) ?? 'none',
    unitY: units.get(uint16(item, 'x00186026') ?? 0) ?? 'none',
    deltaX: double(item, 'x0018602c') ?? 0,
    deltaY: double(item, 'x0018602e') ?? 0,
    referenceX: int32(item, 'x00186020'),
    referenceY: int32(item, 'x00186022'),
    referenceValueX: double(item, 'x00186028'),
    referenceValueY: double(item, 'x0018602a'),
    highPriority: (flags & 1) === 0,
    protectedScale: (flags & 2) === 2,
  };
  const whyNot = whyNotUsable(base, widthPx, heightPx);
  return { region: { ...base, usable: whyNot === null, whyNot }, clamped };
}

type Bare = Omit<Region, 'usable' | 'whyNot'>;

/** Reason why nothing may be measured on a region, or null. */
export function whyNotUsable(region: Bare, widthPx: number, heightPx: number): string | null {
  const { x0, y0, x1, y1, kind } = region;
  if (x0 > x1 || y0 > y1 || x1 >= widthPx || y1 >= heightPx) return 'REGION_BEYOND_PICTURE';
  if (kind === 'other') return 'REGION_NOT_MEASURED';
  const spanX = Math.abs(region.deltaX) * (x1 - x0 + 1);
  const spanY = Math.abs(region.deltaY) * (y1 - y0 + 1);
  if (spanX === 0) return 'REGION_SCALE_MISSING';
  if (kind === '2d') {
    if (region.unitX !== 'cm' || region.unitY !== 'cm' || spanY === 0) return 'REGION_SCALE_MISSING';
    const implausible =
      spanY < shallowestCm || spanY > deepestCm || spanX < shallowestCm || spanX > 3 * deepestCm;
    return implausible ? 'REGION_SCALE_IMPLAUSIBLE' : null;
  }
  if (region.unitX !== 's') return 'REGION_SCALE_MISSING';
  if (spanX > longestSweepS) return 'REGION_SCALE_IMPLAUSIBLE';
  if (kind === 'trace') return null;
  if (spanY === 0) return 'REGION_SCALE_MISSING';
  if (kind === 'm-mode') {
    if (region.unitY !== 'cm') return 'REGION_SCALE_MISSING';
    return spanY < shallowestCm || spanY > deepestCm ? 'REGION_SCALE_IMPLAUSIBLE' : null;
  }
  if (region.unitY === 'hz') return null;
  if (region.unitY !== 'cm/s') return 'REGION_SCALE_MISSING';
  return spanY > widestVelocityCmS ? 'REGION_SCALE_IMPLAUSIBLE' : null;
}
