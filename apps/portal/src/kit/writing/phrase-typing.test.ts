import type { Phrase } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { phrasesFor, putPhrase, slashAt } from './phrase-typing';

const phrase = (id: string, place: Phrase['place'], text: string, retired = false): Phrase => ({
  id,
  place,
  text,
  by: 'Test',
  retired,
});

describe('a slash in a text', () => {
  it('opens the phrases at the start of a word, as in the example of its comment', () => {
    expect(slashAt('Mild. /thick', 12)).toEqual({ from: 6, query: 'thick' });
    expect(slashAt('/', 1)).toEqual({ from: 0, query: '' });
    expect(slashAt('Line\n/mv', 8)).toEqual({ from: 5, query: 'mv' });
  });

  it('is only a slash inside a word, in a fraction, and once the word is over', () => {
    for (const text of ['1/2', 'and/or', 'murmur 4/6', '/thick ', 'https://'])
      expect(slashAt(text, text.length), text).toBeNull();
  });

  it('looks at what stands before the caret only', () => {
    expect(slashAt('/ab cd', 2)).toEqual({ from: 0, query: 'a' });
    expect(slashAt('ab /', 2)).toBeNull();
  });

  it('is replaced by the phrase, with a space before a word that follows and the caret behind it', () => {
    expect(putPhrase('Mild. /th', 6, 9, 'Thick leaflets.')).toEqual({
      text: 'Mild. Thick leaflets.',
      caret: 21,
    });
    expect(putPhrase('/x and', 0, 2, 'One')).toEqual({ text: 'One and', caret: 3 });
    expect(putPhrase('/xand', 0, 2, 'One')).toEqual({ text: 'One and', caret: 3 });
  });
});

describe('phrases that fit', () => {
  const all = [
    phrase('1', 'rescan', 'Turn a little further.'),
    phrase('2', 'mitral', 'Thick leaflets, little prolapse.'),
    phrase('3', 'mitral', 'Retired words.', true),
    phrase('4', 'mitral', 'Leaflets meet at the ring.'),
  ];
  it('hold what was typed in any order and case, those of the place first, and none that is retired', () => {
    expect(phrasesFor(all, 'mitral', 'little').map((p) => p.id)).toEqual(['2', '1']);
    expect(phrasesFor(all, 'mitral', 'PROLAPSE thick').map((p) => p.id)).toEqual(['2']);
    expect(phrasesFor(all, null, '').map((p) => p.id)).toEqual(['1', '2', '4']);
  });
  it('are at most eight', () => {
    const many = Array.from({ length: 20 }, (_, n) => phrase(String(n), 'next', 'x'));
    expect(phrasesFor(many, 'next', 'x')).toHaveLength(8);
  });
});
