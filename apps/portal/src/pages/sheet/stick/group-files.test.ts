import type { MachineSays, PatientView } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { StickFile } from '../../../host/uploads/read-stick';
import { goesWithoutAsking, groupFiles, tickedAtFirst } from './group-files';

const pebble = {
  name: 'Pebble',
  species: 'dog',
  sex: 'female',
  weight: null,
} as Pick<PatientView, 'name' | 'species' | 'sex' | 'weight'>;
const DAY = '2026-11-25';
const file = (name: string, says: Partial<MachineSays> | null): StickFile =>
  ({
    file: { name, size: 10 } as File,
    header: says && {
      description: {},
      machine: { patientName: null, patientNumber: null, scannedOn: null, ...says },
    },
  }) as unknown as StickFile;
const of = (patientName: string, more: Partial<MachineSays> = {}) => ({
  patientName,
  scannedOn: DAY,
  ...more,
});

describe('a stick', () => {
  it('goes on without a question when it holds one patient, the right one', () => {
    const groups = groupFiles(
      [file('1', of('EXAMPLE^PEBBLE')), file('2', of('Example^Pebble'))],
      pebble,
      DAY,
    );
    expect(groups).toHaveLength(1);
    expect(groups[0]).toMatchObject({ agrees: true, differs: [] });
    expect(goesWithoutAsking(groups, 0)).toBe(true);
    expect(goesWithoutAsking(groups, 1)).toBe(false);
  });

  it('is shown as a list when it holds three patients, the referral’s first and ticked', () => {
    const groups = groupFiles(
      [
        file('1', of('EXAMPLE^MOSS')),
        file('2', of('EXAMPLE^PEBBLE')),
        file('3', of('EXAMPLE^FERN')),
        file('4', of('EXAMPLE^PEBBLE')),
        file('film.avi', null),
      ],
      pebble,
      DAY,
    );
    expect(groups.map((g) => [g.patientName, g.files.length])).toEqual([
      ['EXAMPLE^PEBBLE', 2],
      ['EXAMPLE^MOSS', 1],
      ['EXAMPLE^FERN', 1],
      [null, 1],
    ]);
    expect(groups.map((g) => tickedAtFirst(g, groups))).toEqual([true, false, false, true]);
    expect(goesWithoutAsking(groups, 0)).toBe(false);
  });

  it('asks about another name even when it is the only one, and ticks nothing', () => {
    const groups = groupFiles([file('1', of('EXAMPLE^MOSS'))], pebble, DAY);
    expect(goesWithoutAsking(groups, 0)).toBe(false);
    expect(groups.map((g) => tickedAtFirst(g, groups))).toEqual([false]);
  });

  it('keeps two days of one patient apart, and ticks the day of the scan', () => {
    const groups = groupFiles(
      [
        file('1', of('EXAMPLE^PEBBLE', { patientNumber: '7' })),
        file('2', of('PEBBLE', { patientNumber: '7', scannedOn: '2026-05-02' })),
      ],
      pebble,
      DAY,
    );
    expect(groups.map((g) => [g.scannedOn, tickedAtFirst(g, groups)])).toEqual([
      [DAY, true],
      ['2026-05-02', false],
    ]);
    expect(goesWithoutAsking(groups, 0)).toBe(false);
  });
});
