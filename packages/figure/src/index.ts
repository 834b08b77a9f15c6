/**
 * Pure shapes for the limit line and the view drawings, painted alike by the portal (SVG) and the report (PDF).
 */

export * from './limit-line';
export * from './over-time';
export * from './probe-place';
export * from './shapes';
export * from './view-drawing';
export type { DrawnLabel, DrawnPath, ViewDrawing } from './views/drawing';
