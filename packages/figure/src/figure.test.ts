import { viewId } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { limitLine } from './limit-line';
import { viewDrawing } from './view-drawing';

const source = { citation: 'a paper', doi: null, status: 'primary' as const };
const limit = (lower: number | null, upper: number | null, ticks: { at: number; code: string }[] = []) => ({
  id: 'x',
  lower,
  upper,
  ticks,
  population: 'dogs',
  chosenBecause: 'weight' as const,
  comparisonOnly: false,
  source,
});

describe('limitLine', () => {
  const figure = limitLine({
    width: 400,
    index: {
      value: 1.84,
      beats: [1.8, 1.84, 1.88],
      interval: [1.53, 2.16],
      position: 'within',
      limits: [limit(1.27, 1.85, [{ at: 1.53, code: 'mean' }]), limit(null, 1.7)],
    },
    earlier: [{ value: 1.6 }, { value: 1.7 }],
  });

  it('draws beats faint, the mean strong and filled, earlier scans paler and hollow', () => {
    const marks = figure.shapes.filter((s) => s.kind === 'mark');
    expect(marks.filter((m) => m.tone === 'faint' && m.form === 'circle')).toHaveLength(3);
    expect(marks.filter((m) => m.tone === 'paler' && !m.filled)).toHaveLength(2);
    expect(marks.filter((m) => m.tone === 'strong' && m.filled && m.form === 'diamond')).toHaveLength(1);
  });

  it('puts every bound and grade on the scale in its order', () => {
    const ticks = figure.shapes.filter((s) => s.kind === 'tick').sort((a, b) => a.x - b.x);
    expect(ticks.map((t) => t.code)).toEqual(['lower', 'mean', 'upper', 'upper']);
  });

  it('draws a value that is not graded as a hollow diamond', () => {
    const open = limitLine({
      width: 200,
      index: { value: 92, beats: [], interval: null, position: 'not-graded', limits: [] },
    });
    const strong = open.shapes.find((s) => s.kind === 'mark' && s.tone === 'strong');
    expect(strong).toMatchObject({ filled: false });
  });

  it('stays in its box with finite coordinates for any values, and never lets labels touch', () => {
    const number = fc.double({ min: -1000, max: 1000, noNaN: true });
    fc.assert(
      fc.property(
        number,
        fc.array(number, { maxLength: 5 }),
        fc.option(number),
        fc.option(number),
        fc.array(number, { maxLength: 4 }),
        (value, beats, lower, upper, ticks) => {
          const f = limitLine({
            width: 300,
            index: {
              value,
              beats,
              interval: null,
              position: 'within',
              limits: [
                limit(
                  lower,
                  upper,
                  ticks.map((at) => ({ at, code: 'grade' })),
                ),
              ],
            },
          });
          for (const s of f.shapes) {
            const xs = s.kind === 'line' ? [s.x1, s.x2] : [s.x];
            for (const x of xs) expect(x >= -0.001 && x <= 300.001).toBe(true);
          }
          const below = f.shapes.filter((s) => s.kind === 'text' && s.tone === 'faint');
          const spans = below.flatMap((s) =>
            s.kind === 'text' ? [[s.x - s.text.length * 3.3, s.x + s.text.length * 3.3]] : [],
          );
          spans.sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0));
          for (let i = 1; i < spans.length; i += 1)
            expect(spans[i]?.[0] ?? 0).toBeGreaterThanOrEqual(spans[i - 1]?.[1] ?? 0);
        },
      ),
    );
  });

  it('draws nothing for a value that is no number', () => {
    expect(
      limitLine({
        width: 200,
        index: { value: Number.NaN, beats: [], interval: null, position: 'not-graded', limits: [] },
      }).shapes,
    ).toEqual([]);
  });
});

describe('viewDrawing', () => {
  it('has a drawing for every view, with readable paths and labels inside the box', () => {
    for (const view of viewId.options) {
      const { width, height, paths, labels } = viewDrawing(view);
      for (const { d } of paths) expect(d).toMatch(/^M[-\d. ]+[A-Za-z\d. -]*$/);
      for (const { x, y } of labels) expect(x > 0 && x < width && y > 0 && y < height).toBe(true);
      for (const { d, role } of paths) {
        if (role === 'sector') continue;
        for (const n of d.match(/-?\d+(\.\d+)?/g) ?? []) expect(Math.abs(Number(n))).toBeLessThanOrEqual(240);
      }
    }
  });

  it('leaves no standard view without structures that are named', () => {
    for (const view of viewId.options)
      if (view !== 'other') {
        const labels = viewDrawing(view).labels.map((l) => l.text);
        expect(labels, view).not.toContain('another view');
        expect(labels.length, view).toBeGreaterThanOrEqual(2);
      }
  });

  it('keeps the orientation of the trade: base on the right in the long axis, left heart on the right in the apical view', () => {
    const at = (view: Parameters<typeof viewDrawing>[0], text: string) =>
      viewDrawing(view).labels.find((l) => l.text === text);
    expect(at('rps-long-4ch', 'LA')?.x).toBeGreaterThan(at('rps-long-4ch', 'LV')?.x ?? 999);
    expect(at('rps-long-outflow', 'Ao')?.x).toBeGreaterThan(at('rps-long-outflow', 'LV')?.x ?? 999);
    expect(at('lap-4ch', 'LV')?.x).toBeGreaterThan(at('lap-4ch', 'RV')?.x ?? 999);
    expect(at('rps-short-pulmonary', 'PA')?.x).toBeGreaterThan(at('rps-short-pulmonary', 'Ao')?.x ?? 999);
    expect(at('rps-short-papillary', 'RV')?.y).toBeLessThan(at('rps-short-papillary', 'LV')?.y ?? 0);
  });
});
