import type { Assessment } from '@chordae/contract';
import type { GrayFrame } from '@chordae/imaging';

type Said = Pick<Assessment, 'sector' | 'ruler'>;

/** Outline of the sector as points of a closed line. */
function outlineOf(s: Said['sector']): string {
  const { x0, y0, x1, y1 } = s.box;
  if (s.shape === 'box') return `${x0},${y0} ${x1},${y0} ${x1},${y1} ${x0},${y1}`;
  const at = (range: number, angle: number): string =>
    `${s.apexXPx + range * Math.sin(angle)},${s.apexYPx + range * Math.cos(angle)}`;
  const angles = Array.from(
    { length: 41 },
    (_, n) => s.leftAngleRad + ((s.rightAngleRad - s.leftAngleRad) * n) / 40,
  );
  const top = (angle: number): string =>
    at(s.shape === 'fan-flat-top' ? s.innerRadiusPx / Math.cos(angle) : s.innerRadiusPx, angle);
  return [...angles.map((a) => at(s.outerRadiusPx, a)), ...angles.reverse().map(top)].join(' ');
}

function ticksOf(r: Said['ruler']): string {
  if (!r.found || r.pxPerTick === null || r.xPx === null || r.firstTickYPx === null) return '';
  const down = Math.cos(r.slantRad);
  const right = Math.sin(r.slantRad);
  const middle = (r.ticks - 1) / 2;
  return Array.from({ length: r.ticks }, (_, k) => {
    const x = (r.xPx ?? 0) + (k - middle) * (r.pxPerTick ?? 0) * right;
    const y = (r.firstTickYPx ?? 0) + k * (r.pxPerTick ?? 0) * down;
    return `<circle cx="${x}" cy="${y}" r="4" fill="none" stroke="#0ff"/>`;
  }).join('');
}

/** Writes the frame with sector (yellow), further panels (red) and ruler ticks (blue) drawn over it. */
export async function drawFound(file: string, frame: GrayFrame, said: Said): Promise<void> {
  const { default: sharp } = await import('sharp');
  const { widthPx, heightPx, luma } = frame;
  const panels = said.sector.otherPanels
    .map(
      (p) =>
        `<rect x="${p.x0}" y="${p.y0}" width="${p.x1 - p.x0}" height="${p.y1 - p.y0}" fill="none" stroke="#f44"/>`,
    )
    .join('');
  const sector =
    said.sector.shape === 'none'
      ? ''
      : `<polygon points="${outlineOf(said.sector)}" fill="none" stroke="#fd0"/>`;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${widthPx}" height="${heightPx}">${sector}${panels}${ticksOf(said.ruler)}</svg>`;
  await sharp(luma, { raw: { width: widthPx, height: heightPx, channels: 1 } })
    .toColourspace('srgb')
    .composite([{ input: Buffer.from(svg) }])
    .png()
    .toFile(file);
}
