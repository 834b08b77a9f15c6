/**
 * Primitive shapes that an SVG and a PDF painter draw alike. Tones are roles, not colours: a painter chooses the ink,
 * and the meaning never rests on hue, because every role also differs in form, weight or place.
 */
export type Tone = 'ink' | 'strong' | 'faint' | 'paler' | 'band';

export type Shape =
  | {
      kind: 'line';
      x1: number;
      y1: number;
      x2: number;
      y2: number;
      width: number;
      tone: Tone;
      dash?: number[];
    }
  | { kind: 'rect'; x: number; y: number; width: number; height: number; tone: Tone; filled: boolean }
  /** A tick across the line; `label` is drawn by its own text shape. */
  | { kind: 'tick'; x: number; y1: number; y2: number; width: number; tone: Tone; code: string }
  | {
      kind: 'mark';
      x: number;
      y: number;
      size: number;
      form: 'diamond' | 'circle';
      filled: boolean;
      tone: Tone;
    }
  | {
      kind: 'text';
      x: number;
      y: number;
      text: string;
      size: number;
      anchor: 'start' | 'middle' | 'end';
      tone: Tone;
      weight: 'regular' | 'strong';
    };

/** Shapes with the box they are drawn in; coordinates grow to the right and downwards. */
export interface Figure {
  width: number;
  height: number;
  shapes: Shape[];
}
