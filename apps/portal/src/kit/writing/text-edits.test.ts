import type { FrameDrawing, OpinionText } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import {
  addKeyFrame,
  addOwnFlag,
  changeKeyFrame,
  changeOwnFlag,
  drawOnNote,
  MOST_KEY_FRAMES,
  moveKeyFrame,
  noteClip,
  removeKeyFrame,
  removeNote,
  removeOwnFlag,
  withSentence,
} from './text-edits';

const drawing = (label: string): FrameDrawing => ({
  shape: 'length',
  points: [{ x: 1, y: 2 }],
  axis: null,
  label,
});
const apply = <T extends Partial<OpinionText>>(now: T, change: Partial<OpinionText> | null): T => ({
  ...now,
  ...change,
});

describe('key frames', () => {
  it('takes a frame with what is drawn on it, and the same frame again only renews the drawing', () => {
    let draft = { keyFrames: [] as OpinionText['keyFrames'] };
    draft = apply(draft, addKeyFrame(draft, { clipId: 'a', frame: 4, drawings: [drawing('old')] }));
    draft = apply(draft, changeKeyFrame(draft, draft.keyFrames[0]?.id ?? '', { caption: 'Largest.' }));
    draft = apply(draft, addKeyFrame(draft, { clipId: 'a', frame: 4, drawings: [drawing('new')] }));
    expect(draft.keyFrames).toMatchObject([{ caption: 'Largest.', drawings: [{ label: 'new' }] }]);
    draft = apply(draft, addKeyFrame(draft, { clipId: 'a', frame: 5, drawings: [] }));
    expect(draft.keyFrames).toHaveLength(2);
    expect(new Set(draft.keyFrames.map((k) => k.id)).size).toBe(2);
  });

  it('takes no more than the page holds, and no more lines than a frame holds', () => {
    let draft = { keyFrames: [] as OpinionText['keyFrames'] };
    const many = Array.from({ length: 20 }, (_, n) => drawing(String(n)));
    for (let frame = 0; frame < MOST_KEY_FRAMES; frame += 1)
      draft = apply(draft, addKeyFrame(draft, { clipId: 'a', frame, drawings: many }));
    expect(draft.keyFrames[0]?.drawings).toHaveLength(12);
    expect(addKeyFrame(draft, { clipId: 'b', frame: 1, drawings: [] })).toBeNull();
    expect(addKeyFrame(draft, { clipId: 'a', frame: 2, drawings: [] })).not.toBeNull();
  });

  it('moves by one place, stops at the ends, and is taken out by itself', () => {
    let draft = { keyFrames: [] as OpinionText['keyFrames'] };
    for (const frame of [1, 2, 3])
      draft = apply(draft, addKeyFrame(draft, { clipId: 'a', frame, drawings: [] }));
    const order = () => draft.keyFrames.map((k) => k.frame);
    const id = (n: number) => draft.keyFrames[n]?.id ?? '';
    draft = apply(draft, moveKeyFrame(draft, id(2), -1));
    expect(order()).toEqual([1, 3, 2]);
    expect(moveKeyFrame(draft, id(0), -1)).toEqual({});
    expect(moveKeyFrame(draft, id(2), 1)).toEqual({});
    draft = apply(draft, removeKeyFrame(draft, id(1)));
    expect(order()).toEqual([1, 2]);
  });
});

describe('notes on clips and flags of the reader', () => {
  it('keeps one note for each clip, with its words when a frame is drawn on later', () => {
    let draft = { clipFeedback: [] as OpinionText['clipFeedback'] };
    draft = apply(draft, noteClip(draft, 'a', { text: 'A small tilt.' }));
    draft = apply(draft, drawOnNote(draft, { clipId: 'a', frame: 7, drawings: [drawing('edge')] }));
    draft = apply(draft, noteClip(draft, 'b'));
    expect(draft.clipFeedback).toMatchObject([
      { clipId: 'a', text: 'A small tilt.', frame: 7, drawings: [{ label: 'edge' }] },
      { clipId: 'b', text: '', frame: null, drawings: [] },
    ]);
    expect(removeNote(draft, 'a').clipFeedback?.map((f) => f.clipId)).toEqual(['b']);
  });

  it('raises, changes and removes a flag without touching the others', () => {
    let draft = { ownFlags: [] as OpinionText['ownFlags'] };
    draft = apply(draft, addOwnFlag(draft));
    draft = apply(draft, addOwnFlag(draft));
    const [first, second] = draft.ownFlags;
    draft = apply(draft, changeOwnFlag(draft, second?.id ?? '', { level: 'act-now', text: 'Now.' }));
    expect(draft.ownFlags).toMatchObject([
      { level: 'look', text: '' },
      { level: 'act-now', text: 'Now.' },
    ]);
    expect(removeOwnFlag(draft, first?.id ?? '').ownFlags).toMatchObject([{ text: 'Now.' }]);
  });

  it('adds a sentence on a line of its own, once', () => {
    expect(withSentence('', 'A.')).toBe('A.');
    expect(withSentence('A. \n', 'B.')).toBe('A.\nB.');
    expect(withSentence('A.\nB.', 'A.')).toBe('A.\nB.');
  });
});
