import type { MeasurementRecord } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayApart, sideBySide } from './side-by-side';

let next = 0;
const measured = (parts: Partial<MeasurementRecord>): MeasurementRecord => ({
  id: `m${(next += 1)}`,
  code: 'lvidd',
  value: 40,
  unit: 'mm',
  asTyped: '40',
  view: 'rps-short-papillary',
  method: '2d',
  beat: 1,
  clipId: null,
  frame: null,
  source: 'typed',
  geometry: null,
  supersedesId: null,
  withdrawn: false,
  side: 'sender',
  madeBy: 'Vet',
  madeAt: '2026-11-25T09:00:00Z',
  supersededById: null,
  ...parts,
});

describe('measurements side by side', () => {
  it('puts each side in its place, averages beats, and leaves what was replaced or taken back out', () => {
    const [row] = sideBySide(
      [
        measured({ value: 36, supersededById: 'x' }),
        measured({ value: 38 }),
        measured({ value: 42, beat: 2 }),
        measured({ value: 41, side: 'machine', source: 'machine' }),
        measured({ value: 99, side: 'reader', withdrawn: true }),
      ],
      'dog',
    );
    expect(row?.mean).toEqual({ sender: 40, machine: 41, reader: null });
    expect(row?.of.sender).toHaveLength(2);
  });

  it('says that two are apart only beyond 2.77 × 8.8 % (repeatability of a dog’s LV in shared/limits)', () => {
    const against = (reader: number) =>
      sideBySide([measured({ value: 40 }), measured({ value: reader, side: 'reader' })], 'dog')[0];
    expect(against(31.4)?.apart).toEqual([]);
    expect(against(31.2)?.apart).toEqual([['sender', 'reader']]);
    const [row] = [against(31.2)];
    expect(row && sayApart(row)).toBe('Sender and reader are further apart than measuring explains.');
  });

  it('claims nothing where no repeatability is known', () => {
    const [row] = sideBySide(
      [
        measured({ code: 'vhs', unit: 'ratio', value: 10 }),
        measured({ code: 'vhs', unit: 'ratio', value: 12, side: 'reader' }),
      ],
      'dog',
    );
    expect(row?.apart).toBeNull();
    expect(row && sayApart(row)).toBe('How far two readers differ on this is not known.');
  });
});
