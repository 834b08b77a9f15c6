/**
 * From pixels to mm, cm², ml, ms and m/s, by the file's own calibration or by a person's, never by a guess.
 *
 * Terms: a *frame point* is in pixels of the original's frame; a *physical point* in mm, ms or cm/s; only a region joins the two. A
 * *plane* is what a pixel is worth where a shape was drawn. An *interval* is what a value may be when each point is known only to its
 * pixel: half a pixel at each point in both directions, at its worst; it says nothing about where the point should have been put.
 */
export * from './beats';
export * from './calibration';
export * from './discs';
export * from './flat-shapes';
export * from './flow-trace';
export * from './kept-value';
export * from './length';
export * from './measure-drawn';
export type { Plane, PlanePoint } from './plane';
export { planeOf, scaleOf } from './plane';
export * from './points';
export { areaDoubt, doubleArea, type HalfPixel, pathLength } from './polygon';
export { regionAt, regionOfAll, sameScale } from './region-at';
export * from './sets';
export * from './time';
export { slopeValues, timeValues, velocityValues } from './time-shapes';
export type { DrawnQuantity, DrawnUnit, DrawnValue, DrawnValues } from './values';
