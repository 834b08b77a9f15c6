import type { GrayFrame } from '../gray-frame';
import type { SectorGeometry } from './sector-geometry';
import { sectorMask } from './sector-geometry';

/** The frame with everything outside the sector (grown by `marginPx`) made black. Without a sector everything is. */
export function maskOutsideSector(frame: GrayFrame, sector: SectorGeometry, marginPx = 2): GrayFrame {
  const mask = sectorMask(sector, frame.widthPx, frame.heightPx, marginPx);
  return { ...frame, luma: frame.luma.slice(0, mask.length).map((v, n) => (mask[n] === 1 ? v : 0)) };
}
