/** What can be seen in the pictures themselves: frames of luma in, numbers with units, confidence and reasons out. */
export type { GrayFrame } from './gray-frame';
export { detectSectorGeometry } from './sector/detect-sector';
export type { SectorGeometry, SectorReason } from './sector/sector-geometry';
export { sectorMask } from './sector/sector-geometry';
export { assessShortAxisPlane, tiltOfAxisRatio } from './short-axis/plane-assessment';
export { traceLvShortAxis } from './short-axis/trace';
