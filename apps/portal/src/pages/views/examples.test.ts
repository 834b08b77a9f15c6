import { horseViews, smallAnimalViews } from '@chordae/contract';
import { heartSize, phantomHearts, phantomViews } from '@chordae/phantom';
import { exampleWords } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { drawnAs, examplesOf } from './examples';

const shown = [
  ...smallAnimalViews.flatMap((view) => [
    { view, kind: 'dog' as const },
    { view, kind: 'cat' as const },
  ]),
  ...horseViews.map((view) => ({ view, kind: 'horse' as const })),
];

describe('moving examples of the view guide', () => {
  it.each(shown)('begin with the normal one and name each once: $view of a $kind', ({ view, kind }) => {
    const examples = examplesOf(view, kind);
    expect(examples[0]).toBe('normal');
    expect(new Set(examples).size).toBe(examples.length);
    expect(phantomViews).toContain(view);
  });

  it.each(shown)(
    'are hearts that can be drawn, with words of their own: $view of a $kind',
    ({ view, kind }) => {
      const looks = examplesOf(view, kind).map((example) => {
        expect(phantomHearts).toContain(drawnAs[example].heart);
        return exampleWords(view, example).look;
      });
      expect(new Set(looks).size).toBe(looks.length);
    },
  );

  it('draw something else for each example of a view', () => {
    for (const { view, kind } of shown) {
      const asked = examplesOf(view, kind).map((example) => JSON.stringify(drawnAs[example]));
      expect(new Set(asked).size).toBe(asked.length);
    }
  });

  it('show the oval cavity of a tilted cut on each short axis of the ventricle', () => {
    for (const view of ['rps-short-papillary', 'rps-short-chordae', 'eq-r-short-papillary'] as const)
      expect(examplesOf(view, view.startsWith('eq-') ? 'horse' : 'dog')).toContain('tilted');
  });

  it('show a cat a left atrium twice as wide as the aortic root, as its words say', () => {
    expect(examplesOf('rps-short-aortic', 'cat')).toContain('large-left-atrium');
    const { heart, severity } = drawnAs['large-left-atrium'];
    const [usual, large] = [heartSize('cat', 4.4, 'normal'), heartSize('cat', 4.4, heart, severity)];
    // The normal atrium is drawn at 1.3 times the root (heart-size.ts).
    expect((1.3 * large.leftAtrium) / usual.leftAtrium).toBeCloseTo(1.95, 1);
  });

  it('show no leaking mitral valve as typical of a cat', () => {
    expect(examplesOf('rps-long-4ch', 'dog')).toContain('mitral-leak');
    expect(examplesOf('rps-long-4ch', 'cat')).not.toContain('mitral-leak');
  });
});
