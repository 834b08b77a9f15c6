import type { FramePoint } from '@chordae/contract';

export type ToolId =
  | 'length'
  | 'pair'
  | 'lv-set'
  | 'angle'
  | 'outline'
  | 'ellipse'
  | 'discs'
  | 'discs-two'
  | 'time'
  | 'slope'
  | 'velocity'
  | 'trace'
  | 'calibration'
  | 'cavity';

/** What was put on one frame of one clip. */
export interface Part {
  readonly clipId: string;
  readonly frame: number;
  readonly points: readonly FramePoint[];
  /** Only of discs: from the base's middle to the far end. */
  readonly axis: readonly [FramePoint, FramePoint] | null;
  /** The far end was put by hand, so it no longer follows the wall. */
  readonly axisByHand: boolean;
  readonly done: boolean;
}

export interface Drawing {
  readonly id: number;
  readonly tool: ToolId;
  readonly parts: readonly Part[];
}

/** What tools change: plain values, several drawings, one of them being worked on. React draws it. */
export interface DrawnDocument {
  readonly drawings: readonly Drawing[];
  readonly current: number | null;
  readonly nextId: number;
}

export const emptyDocument: DrawnDocument = { drawings: [], current: null, nextId: 1 };

export function currentOf(document: DrawnDocument): Drawing | null {
  return document.drawings.find((d) => d.id === document.current) ?? null;
}

/** A new drawing, being worked on; the one before it is let go unless it was set down. */
export function withNew(document: DrawnDocument, tool: ToolId, part: Part): DrawnDocument {
  const id = document.nextId;
  const others = withoutCurrent(document).drawings;
  return { drawings: [...others, { id, tool, parts: [part] }], current: id, nextId: id + 1 };
}

export function withoutCurrent(document: DrawnDocument): DrawnDocument {
  return {
    ...document,
    drawings: document.drawings.filter((d) => d.id !== document.current),
    current: null,
  };
}

/** The current drawing with other parts; unchanged where there is none. */
export function withParts(
  document: DrawnDocument,
  change: (parts: readonly Part[]) => readonly Part[],
): DrawnDocument {
  const drawings = document.drawings.map((d) =>
    d.id === document.current ? { ...d, parts: change(d.parts) } : d,
  );
  return { ...document, drawings };
}

export function withPart(document: DrawnDocument, at: number, change: (part: Part) => Part): DrawnDocument {
  return withParts(document, (parts) => parts.map((p, n) => (n === at ? change(p) : p)));
}

/** A part that begins with one point. */
export function partFrom(
  at: { readonly clipId: string; readonly frame: number },
  point: FramePoint,
  done = false,
): Part {
  return { clipId: at.clipId, frame: at.frame, points: [point], axis: null, axisByHand: false, done };
}
