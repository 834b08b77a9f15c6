/**
 * From pixels to millimetres, ms and cm/s, by the file's own calibration only.
 *
 * Terms: a *frame point* is in pixels of the original's frame; a *physical point* in mm, ms or cm/s; only a region joins the two.
 */
export * from './beats';
export * from './length';
export * from './points';
export { regionAt, sameScale } from './region-at';
export * from './time';
