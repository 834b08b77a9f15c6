import type { CaseView, MachineMeasurement } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { reportOffers } from './report-offers';

const lvidd: MachineMeasurement = {
  code: 'lvidd',
  name: 'Left ventricular internal diastolic dimension - MM',
  concept: '80008-6 LN',
  written: '4.8',
  unitWritten: 'cm',
  value: 48,
  unit: 'mm',
  method: 'm-mode',
  view: null,
  beat: 2,
  averaged: false,
  chosen: true,
  says: ['M mode'],
  imageUid: '2.25.5',
  frame: 3,
};
const unknown: MachineMeasurement = {
  ...lvidd,
  code: null,
  value: null,
  unit: null,
  name: 'Shape index',
  written: '0.8',
  unitWritten: '1',
  says: [],
};

function caseWith(
  problem: { code: string; data: Record<string, never> } | null,
  measurements: unknown[] = [],
): CaseView {
  const report = { title: '', madeOn: null, complete: true, measurements: [lvidd, unknown] };
  return {
    arrivals: [{ id: 'a', fileName: 'report.dcm', report, problem }],
    clips: [{ id: 'clip-5', machine: { instanceUid: '2.25.5' } }],
    measurements,
  } as unknown as CaseView;
}

describe('numbers of a machine', () => {
  it('are offered as the sheet keeps them, linked to their clip and frame', () => {
    const [report] = reportOffers(caseWith(null));
    expect(report?.offers).toMatchObject([
      {
        says: 'LVIDd 48.0 mm, beat 2',
        taken: false,
        entry: {
          code: 'lvidd',
          value: 48,
          asTyped: '4.8 cm',
          beat: 2,
          clipId: 'clip-5',
          frame: 2,
          source: 'machine',
        },
      },
    ]);
    expect(report?.others).toEqual(['Shape index 0.8 1']);
  });

  it('do not go over a value that the sheet has', () => {
    const saved = { side: 'sender', code: 'lvidd', beat: 2, supersededById: null, withdrawn: false };
    expect(reportOffers(caseWith(null, [saved]))[0]?.offers[0]?.taken).toBe(true);
    expect(reportOffers(caseWith(null, [{ ...saved, beat: 1 }]))[0]?.offers[0]?.taken).toBe(false);
  });

  it('are not offered at all from a report that names another patient', () => {
    expect(reportOffers(caseWith({ code: 'REPORT_NAMES_ANOTHER', data: {} }))).toEqual([]);
  });
});
