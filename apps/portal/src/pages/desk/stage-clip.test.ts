import type { CaseView, ClipStatement, ClipStatementRecord } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { scaleState } from './scale-state';
import { exampleClip, marksOf, outlineOf } from './stage-clip';

const said = (statement: ClipStatement, side: 'sender' | 'reader', at: string): ClipStatementRecord => ({
  id: at,
  clipId: 'c1',
  statement,
  side,
  by: 'somebody',
  at,
});
const marks = (endDiastole: number[]): ClipStatement => ({ kind: 'marks', endDiastole, endSystole: [] });
const outline = (frame: number, x: number): ClipStatement => ({
  kind: 'outline',
  frame,
  points: Array.from({ length: 8 }, () => ({ x, y: 0 })),
});
const withStatements = (statements: ClipStatementRecord[]) => ({ statements }) as unknown as CaseView;

describe('what was said about a clip', () => {
  it("gives the reader's newest marks before the sender's", () => {
    const c = withStatements([
      said(marks([1]), 'reader', '1'),
      said(marks([2]), 'reader', '2'),
      said(marks([3]), 'sender', '3'),
    ]);
    expect(marksOf(c, 'c1')?.endDiastole).toEqual([2]);
    expect(marksOf(c, 'c2')).toBeNull();
    expect(marksOf(withStatements(c.statements.slice(2)), 'c1')?.endDiastole).toEqual([3]);
  });

  it('gives the newest outline of a frame', () => {
    const c = withStatements([
      said(outline(4, 10), 'reader', '1'),
      said(outline(4, 20), 'reader', '2'),
      said(outline(5, 30), 'reader', '3'),
    ]);
    expect(outlineOf(c, 'c1', 4)?.[0]?.x).toBe(20);
    expect(outlineOf(c, 'c1', 9)).toBeNull();
  });
});

describe('a scale', () => {
  const description = { widthPx: 8, heightPx: 8, regions: [] };
  it('is missing without the file’s or a person’s word, and an example never has one', () => {
    expect(scaleState({ id: 'c', description, calibration: null })).toBe('missing');
    expect(scaleState({ id: 'c', description, calibration: { cmPerPixel: 0.1, from: 'ruler' } })).toBe(
      'there',
    );
    expect(scaleState(exampleClip('lap-4ch', 'dog').measured)).toBe('missing');
  });
});
