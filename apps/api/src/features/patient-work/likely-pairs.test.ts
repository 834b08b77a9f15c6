import { describe, expect, it } from 'vitest';
import { type Comparable, likelyPairs, likenesses } from './likely-pairs';

const animal = (part: Partial<Comparable>): Comparable => ({
  id: 'a',
  number: 1,
  name: 'Wren',
  folded: 'wren',
  species: 'cat',
  sex: 'unknown',
  birthDate: null,
  birthPrecision: null,
  chip: '',
  keeperName: '',
  keeperPhone: '',
  ...part,
});

describe('likenesses', () => {
  it('takes a chip for proof whatever the names are, but never across species', () => {
    const one = animal({ chip: '276098100123456' });
    expect(likenesses(one, animal({ folded: 'robin', chip: '276098100123456' }))).toEqual(['chip']);
    expect(likenesses(one, animal({ species: 'dog', chip: '276098100123456' }))).toEqual([]);
  });

  it('takes a name alone for nothing', () => {
    expect(likenesses(animal({}), animal({}))).toEqual([]);
  });

  it('allows a written day 31 days and a guessed one a year', () => {
    const born = (birthDate: string, birthPrecision: 'day' | 'guessed') =>
      animal({ birthDate, birthPrecision });
    expect(likenesses(born('2020-03-01', 'day'), born('2020-04-01', 'day'))).toEqual(['birth']);
    expect(likenesses(born('2020-03-01', 'day'), born('2020-04-02', 'day'))).toEqual([]);
    expect(likenesses(born('2020-03-01', 'day'), born('2021-02-20', 'guessed'))).toEqual(['birth']);
  });

  it('takes one line for one line, with the country or without', () => {
    const one = animal({ keeperPhone: '353879998877' });
    expect(likenesses(one, animal({ keeperPhone: '0879998877' }))).toEqual(['keeper-phone']);
    expect(likenesses(one, animal({ keeperPhone: '0879998878' }))).toEqual([]);
    // An extension or a piece of a number says nothing.
    expect(likenesses(animal({ keeperPhone: '8877' }), animal({ keeperPhone: '8877' }))).toEqual([]);
  });

  it('keeps quiet where two chips or two sexes speak against it, both ways round', () => {
    const keeperName = 'ida marsh';
    const pairs = [
      [animal({ keeperName, chip: '1' }), animal({ keeperName, chip: '2' })],
      [animal({ keeperName, sex: 'male' }), animal({ keeperName, sex: 'female' })],
    ] as const;
    for (const [one, other] of pairs) {
      expect(likenesses(one, other)).toEqual([]);
      expect(likenesses(other, one)).toEqual([]);
    }
    expect(likenesses(animal({ keeperName, sex: 'male' }), animal({ keeperName }))).toEqual(['keeper-name']);
  });
});

describe('likelyPairs', () => {
  it('gives each pair once, those with one chip first', () => {
    const pairs = likelyPairs([
      animal({ id: 'a', number: 1, keeperName: 'x' }),
      animal({ id: 'b', number: 2, keeperName: 'x', chip: '7' }),
      animal({ id: 'c', number: 3, folded: 'rook', chip: '7' }),
      animal({ id: 'd', number: 4, folded: 'rook', keeperName: 'x', species: 'dog' }),
    ]);
    expect(pairs.map((p) => [p.one.id, p.other.id, p.because])).toEqual([
      ['b', 'c', ['chip']],
      ['a', 'b', ['keeper-name']],
    ]);
  });
});
