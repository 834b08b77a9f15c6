import { describe, expect, it } from 'vitest';
import { readList } from './read-list';

const practices = [
  { id: 'q', name: 'Quillfern Demo Practice' },
  { id: 'm', name: 'Marrowmere Demo Clinic' },
];
const now = new Date('2026-11-26T08:00:00Z');
const read = (text: string) => readList(text, practices, now);

describe('a pasted list of a day', () => {
  it('puts patients under the practice whose name stands above them', () => {
    const lines = read(
      'Quillfern:\nNimbus; cat; MN; 4.2 kg; murmur\n\nMarrowmere Demo Clinic\n1. Bramble; dog; 8 y',
    );
    expect(lines.map((l) => [l.practiceId, l.planned.name])).toEqual([
      ['q', 'Nimbus'],
      ['m', 'Bramble'],
    ]);
    expect(lines[0]?.planned).toMatchObject({
      species: 'cat',
      sex: 'male',
      neutered: true,
      weight: '4.2 kg',
      question: 'murmur',
    });
    expect(lines[1]?.planned).toMatchObject({ species: 'dog', birth: '8 y', weight: '', sex: null });
  });

  it('reads a table by its headings, in any order, and keeps what it does not know as a note', () => {
    const [line] = read(
      'Practice\tOwner\tPatient\tSpecies\tSex\tWeight\tReason\nMarrowmere\tA. Invented\tSorrel\tFeline\tfemale\t3,9 kg\tbreathless\tseen Monday',
    );
    expect(line).toMatchObject({
      practiceId: 'm',
      planned: {
        name: 'Sorrel',
        species: 'cat',
        sex: 'female',
        neutered: null,
        weight: '3,9 kg',
        keeperName: 'A. Invented',
        question: 'breathless',
        note: 'seen Monday',
      },
    });
  });

  it('keeps a decimal comma together when commas part the cells', () => {
    const [line] = read('Biscuit, Cavalier King Charles Spaniel, female, 7,4 kg, cough, 372000000000123');
    expect(line?.planned).toMatchObject({
      name: 'Biscuit',
      breedText: 'Cavalier King Charles Spaniel',
      weight: '7,4 kg',
      chip: '372000000000123',
      question: 'cough',
    });
  });

  it('reads running words: the name first, what is known after it, the rest as the question', () => {
    const [line] = read('Bramble Whippet 9 y male neutered 14.2 kg faints when running');
    expect(line?.planned).toMatchObject({
      name: 'Bramble',
      breedText: 'Whippet',
      birth: '9 y',
      sex: 'male',
      neutered: true,
      weight: '14.2 kg',
      question: 'faints when running',
    });
  });

  it('knows a breed by the beginning of its name where only one begins so', () => {
    expect(read('Otto; Doberman; male')[0]?.planned).toMatchObject({ species: 'dog', question: '' });
    expect(read('Otto; Norw; male')[0]?.planned).toMatchObject({ breedText: '', question: 'Norw' });
  });

  it('says when the species follows from the breed only, and leaves it open otherwise', () => {
    const [one, two] = read('Otto; Maine Coon\nPip; murmur');
    expect(one).toMatchObject({ speciesFromBreed: true, planned: { species: 'cat' } });
    expect(two).toMatchObject({ speciesFromBreed: false, planned: { species: null, question: 'murmur' } });
  });

  it('takes no bare number for a weight or an age, and loses no word of a line', () => {
    const [line] = read('Pip; cat; 7; murmur 3/6');
    expect(line?.planned).toMatchObject({ weight: '', birth: '', question: '7, murmur 3/6' });
    const words = 'Zeph cat odd rhythm since Tuesday ask Imra';
    const [other] = read(words);
    for (const word of words.split(' ').filter((w) => w !== 'cat'))
      expect(JSON.stringify(other?.planned)).toContain(word);
  });

  it('leaves the practice open where none is named, or where a name fits two', () => {
    expect(read('Pip; cat')[0]?.practiceId).toBeNull();
    const twins = [
      { id: 'a', name: 'Ashes North' },
      { id: 'b', name: 'Ashes South' },
    ];
    expect(readList('Ashes\nPip; cat', twins, now).at(-1)?.practiceId).toBeNull();
  });

  it('puts nobody under the practice above where another name stands over a new block', () => {
    const lines = read('Quillfern\nNimbus; cat\n\nSomewhere Else\nGhost; dog\n\nMarrowmere\nPip; cat');
    expect(lines.map((l) => [l.planned.name, l.practiceId])).toEqual([
      ['Nimbus', 'q'],
      ['Somewhere', null],
      ['Ghost', null],
      ['Pip', 'm'],
    ]);
    // A list of names alone stays under its practice.
    expect(read('Quillfern\nNimbus\n\nMoss\nFern').map((l) => l.practiceId)).toEqual(['q', 'q', 'q']);
  });

  it('reads a telephone number and never takes it for a chip', () => {
    const [line] = read('Moss; rabbit; +353 20 910 0101; sneezes');
    expect(line?.planned).toMatchObject({ keeperPhone: '+353 20 910 0101', chip: '', question: 'sneezes' });
  });
});
