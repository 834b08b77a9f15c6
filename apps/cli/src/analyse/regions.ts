import type { Analysis, ClipDescription, Region } from '@chordae/contract';
import { sayProblem } from '@chordae/words';

/** Each calibrated part with its extent by its own scale, so that a wrong scale shows: no heart is 55 cm deep. */
export function analysedRegions({ regions }: ClipDescription): Analysis['regions'] {
  return regions.map((region, n) => {
    const widthPx = region.x1 - region.x0 + 1;
    const heightPx = region.y1 - region.y0 + 1;
    return {
      region: n + 1,
      kind: region.kind,
      widthPx,
      heightPx,
      spanX: span(region.deltaX, widthPx, region.unitX),
      spanY: span(region.deltaY, heightPx, region.unitY),
      usable: region.usable,
      whyNot: region.whyNot === null ? null : sayProblem({ code: region.whyNot, data: { region: n + 1 } }),
    };
  });
}

function span(delta: number, pixels: number, unit: Region['unitX']): { value: number; unit: string } | null {
  if (unit === 'none' || delta === 0) return null;
  return { value: Math.round(Math.abs(delta) * pixels * 1000) / 1000, unit };
}
