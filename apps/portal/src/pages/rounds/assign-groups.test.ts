import { EMPTY_PLANNED, type MachineSays, type Visit } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { StickFile } from '../../host/uploads/read-stick';
import { assignGroups, differsFrom } from './assign-groups';

const DAY = '2026-11-26';
const visit = (id: string, name: string, more: Partial<Visit['planned']> = {}): Visit => ({
  id,
  practiceId: 'p',
  roundId: 'r',
  requestId: null,
  planned: { ...EMPTY_PLANNED, name, ...more },
  position: 1,
  patientId: null,
  patientName: null,
  referralId: null,
  notScanned: null,
  case: null,
  revision: 1,
});
const file = (name: string, says: Partial<MachineSays> | null): StickFile =>
  ({
    file: { name, size: 10 } as File,
    header: says && {
      description: {},
      machine: { patientName: null, patientNumber: null, scannedOn: null, ...says },
    },
  }) as unknown as StickFile;

describe("a day's stick", () => {
  const visits = [
    visit('1', 'Nimbus', { species: 'cat' }),
    visit('2', 'Bramble', { species: 'dog' }),
    visit('3', 'Bramble', { species: 'cat' }),
  ];

  it('gives files to the one visit whose name they carry, and leaves the others to a person', () => {
    const files = [
      file('a', { patientName: 'INVENTED^NIMBUS', scannedOn: DAY }),
      file('b', { patientName: 'INVENTED^BRAMBLE', scannedOn: DAY }),
      file('c', { patientName: 'INVENTED^STRANGER', scannedOn: DAY }),
      file('film.avi', null),
    ];
    const rows = assignGroups(files, visits, DAY).map((a) => [a.group.patientName, a.visitId]);
    expect(Object.fromEntries(rows)).toEqual({
      'INVENTED^NIMBUS': '1',
      'INVENTED^BRAMBLE': null,
      'INVENTED^STRANGER': null,
      null: null,
    });
  });

  it('says what differs from the visit that a person chose', () => {
    const files = [
      file('a', { patientName: 'INVENTED^NIMBUS', speciesText: 'Canine', scannedOn: '2026-11-20' }),
    ];
    const assigned = assignGroups(files, visits, DAY)[0];
    expect(assigned?.differs).toEqual(expect.arrayContaining(['species', 'scan-date']));
    const other = visits[1];
    if (!assigned || !other) throw new Error('no group');
    expect(differsFrom(assigned.group, other, DAY)).toContain('name');
  });
});
