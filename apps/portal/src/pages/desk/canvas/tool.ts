import type { FramePoint } from '@chordae/contract';
import type { ScreenPoint } from './camera';
import type { Drawing, DrawnDocument, Part, ToolId } from './drawing';
import { currentOf } from './drawing';
import type { PartSpec, ToolSpec } from './specs';

export type ToolEvent =
  | { readonly kind: 'press' | 'move' | 'release'; readonly at: ScreenPoint }
  /** Pixels of the frame: moves the held point, or the cross while points are being put. */
  | { readonly kind: 'nudge'; readonly dx: number; readonly dy: number }
  /** Puts a point at the cross; shows the cross first where there is none. For hands on the keyboard. */
  | { readonly kind: 'put' }
  /** Takes the next point, or the one before. */
  | { readonly kind: 'next'; readonly by: 1 | -1 }
  | { readonly kind: 'complete' }
  | { readonly kind: 'cancel' }
  /** Something else takes over: another tile, another tool, the page goes. */
  | { readonly kind: 'interrupt' }
  | { readonly kind: 'undo' }
  | { readonly kind: 'redo' };

/** Nothing is being drawn; the cross is there once the keyboard asked for it. */
export interface Idle {
  readonly name: 'idle';
  readonly cross: FramePoint | null;
}
/** The next point is awaited; the cross follows the pointer or the arrows. */
export interface Placing {
  readonly name: 'placing';
  readonly cross: FramePoint;
}
/** The button is held since a point was put: letting go farther away puts the next one. */
export interface Dragging {
  readonly name: 'dragging';
  readonly cross: FramePoint;
}
/** A line is being drawn by hand; it had this many points when the button went down. */
export interface Stroking {
  readonly name: 'stroking';
  readonly before: number;
}
/** All is put: one point is taken; while it is held, `base` is the part as it was. */
export interface Editing {
  readonly name: 'editing';
  readonly part: number;
  readonly point: number;
  readonly base: Part | null;
}

export type ToolState = Idle | Placing | Dragging | Stroking | Editing;
export const idle: Idle = { name: 'idle', cross: null };

export interface ToolContext {
  readonly tool: ToolId;
  readonly spec: ToolSpec;
  readonly clipId: string;
  readonly frame: number;
  /** Middle of what is seen, where the cross begins. */
  readonly centre: FramePoint;
  /** Screen pixels a frame pixel. */
  readonly scale: number;
  readonly toFrame: (p: ScreenPoint) => FramePoint;
  readonly toScreen: (p: FramePoint) => ScreenPoint;
  /** Does time run across the picture there. */
  readonly overTime: (p: FramePoint) => boolean;
  readonly document: DrawnDocument;
}

/** Whether an edit can be undone now, when the gesture ends, or never (because it was only a preview). */
export type Capture = 'now' | 'at-end' | 'never';

export interface Step {
  readonly state: ToolState;
  readonly edits: readonly DrawnDocument[];
  readonly capture: Capture;
}

export function stay(state: ToolState): Step {
  return { state, edits: [], capture: 'never' };
}

export function edited(state: ToolState, document: DrawnDocument, capture: Capture): Step {
  return { state, edits: [document], capture };
}

/** Shorter than this on the screen it was a click, not a drag. */
export const CLICK_PX = 4;
/** How near a press must come to take a point, in screen pixels: a gloved finger finds it. */
export const GRAB_PX = 22;

export function screenDistance(a: ScreenPoint, b: ScreenPoint): number {
  return Math.hypot(a.sx - b.sx, a.sy - b.sy);
}

/** The part that still takes points, or null where all begun ones are done. */
export function openPart(drawing: Drawing | null): { readonly at: number; readonly part: Part } | null {
  const at = drawing ? drawing.parts.findIndex((p) => !p.done) : -1;
  const part = drawing?.parts[at];
  return part ? { at, part } : null;
}

/** What the next point belongs to: the open part's spec, or the next part's. */
export function nextSpec(spec: ToolSpec, drawing: Drawing | null): PartSpec | null {
  const open = openPart(drawing);
  return spec.parts[open ? open.at : (drawing?.parts.length ?? 0)] ?? null;
}

/** The state that a document is in, when one comes back to it. */
export function resumed(document: DrawnDocument, spec: ToolSpec): ToolState {
  const drawing = currentOf(document);
  const last = drawing?.parts.at(-1);
  const point = last?.points.at(-1);
  if (!drawing || !last || !point) return idle;
  if (!last.done || drawing.parts.length < spec.parts.length) return { name: 'placing', cross: point };
  return { name: 'editing', part: drawing.parts.length - 1, point: last.points.length - 1, base: null };
}
