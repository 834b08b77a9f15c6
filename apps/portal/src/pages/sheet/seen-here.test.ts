import { describe, expect, it } from 'vitest';
import type { SeenFile } from '../../host/looks/looks';
import { sayDifferent } from './seen-here';

type There = Parameters<typeof sayDifferent>[1];

/** What is compared of an assessment; the rest says nothing here. */
const assessment = (verdict: string, marks: readonly string[]) => ({
  view: 'mushroom',
  shortAxis: { verdict },
  quality: marks.map((code) => ({ code, confidence: 0.9 })),
});
const here = (verdict: string, marks: readonly string[]) =>
  ({
    state: 'seen',
    view: 'mushroom',
    look: { ok: true, assessment: assessment(verdict, marks) },
  }) as unknown as SeenFile;
const there = (verdict: string, marks: readonly string[]) =>
  ({ assessment: assessment(verdict, marks) }) as unknown as There;

describe('this computer and the server on one clip', () => {
  it('says nothing where both see the same', () => {
    expect(sayDifferent(here('square', ['GAIN_HIGH']), there('square', ['GAIN_HIGH']), [])).toBeNull();
  });

  it('says it where the cut or a mark differs', () => {
    expect(sayDifferent(here('square', []), there('oblique', []), [])).not.toBeNull();
    expect(sayDifferent(here('square', ['GAIN_HIGH']), there('square', []), [])).not.toBeNull();
  });

  it('does not speak of hints that are switched off', () => {
    expect(sayDifferent(here('square', []), there('oblique', []), ['short-axis-cut'])).toBeNull();
    expect(sayDifferent(here('square', ['GAIN_HIGH']), there('square', []), ['picture-quality'])).toBeNull();
  });
});
