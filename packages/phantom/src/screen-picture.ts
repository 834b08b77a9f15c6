import type { PhantomSpecies } from './heart-size';

/** A calibrated rectangle of a screen, with the numbers that DICOM gives it (PS3.3 C.8.5.5). Bounds are inclusive. */
export interface PhantomRegion {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** Spatial format: 1 2D, 2 M-mode, 3 spectral. Data type: 1 tissue, 3 PW, 4 CW. */
  readonly format: number;
  readonly type: number;
  readonly flags: number;
  /** 3 cm, 4 s, 7 cm/s. */
  readonly unitX: number;
  readonly unitY: number;
  readonly deltaX: number;
  readonly deltaY: number;
  /** Reference pixel, from the region's corner. */
  readonly referenceX: number;
  readonly referenceY: number;
}

/** Frames of luma with what a file says about them. */
export interface ScreenPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frames: readonly Uint8Array[];
  readonly mode: '2d' | 'm-mode' | 'pw' | 'cw';
  readonly species: PhantomSpecies;
  readonly weightKg: number;
  readonly heartRate: number;
  /** null for a single picture. */
  readonly frameTimeMs: number | null;
  readonly rWaveTimesMs: readonly number[];
  readonly regions: readonly PhantomRegion[];
}
