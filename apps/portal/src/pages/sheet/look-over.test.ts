import { type CaseView, EMPTY_STATE_AT_SCAN } from '@chordae/contract';
import { caseInput } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import type { UploadItem } from '../../host/uploads/upload-state';
import { previewHere } from './look-over';

const PATIENT = { name: 'Thistle', species: 'cat', sex: 'female', weight: null, ageMonths: null };
const SCANS = [{ id: 's', scannedOn: '2026-11-25', state: EMPTY_STATE_AT_SCAN }];
/** A cat that breathes through its open mouth. */
const input = caseInput({
  patient: PATIENT,
  plan: 'breathless',
  urgencyAsked: 'routine',
  scans: SCANS,
  measurements: [],
  observations: [
    {
      id: 'o',
      code: 'open-mouth-breathing',
      value: 'yes',
      side: 'sender',
      supersedesId: null,
      supersededById: null,
    },
  ],
  clips: [],
  statements: [],
} as unknown as Parameters<typeof caseInput>[0]);
const file = (id: string, part: Partial<UploadItem>, patientName: string | null): UploadItem =>
  ({
    arrivalId: id,
    scanId: 's',
    fileName: `${id}.dcm`,
    state: 'waiting',
    header: patientName === null ? null : { machine: { patientName } },
    ...part,
  }) as unknown as UploadItem;
const caseOf = (part: Record<string, unknown> = {}): CaseView =>
  ({
    referral: { question: 'Is it the heart?', urgencyAsked: 'routine', urgencyReason: '' },
    agreement: { groupPhone: '+353 1 000 0002', emergencyContact: 'Night clinic' },
    patient: PATIENT,
    scans: SCANS,
    clips: [],
    arrivals: [],
    ...part,
  }) as unknown as CaseView;
const preview = (c: CaseView, files: readonly UploadItem[]) => previewHere(c, input, files);

describe('sending looked over without a network', () => {
  it('compares the headers of files that lie here, also of one whose bytes have begun to go, and not of refused ones', () => {
    const seen = preview(caseOf(), [
      file('a', {}, 'EXAMPLE^THISTLE'),
      file('b', { state: 'sending' }, 'EXAMPLE^BRACKEN'),
      file('c', { state: 'refused' }, 'EXAMPLE^OTTO'),
      file('d', {}, null),
    ]);
    expect(seen.identity.map((i) => [i.fileName, i.field, i.verdict])).toEqual([
      ['a.dcm', 'name', 'agrees'],
      ['b.dcm', 'name', 'differs'],
    ]);
    expect([seen.stillArriving, seen.blockers]).toEqual([3, []]);
  });

  it('lets the proposed urgency stand as on the server, and names the telephone', () => {
    const seen = preview(caseOf(), []);
    expect(seen).toMatchObject({
      urgencyThatStands: 'emergency',
      groupPhone: '+353 1 000 0002',
      emergencyContact: 'Night clinic',
    });
  });

  it('names what is missing: the question, an agreement that this device knows', () => {
    const c = caseOf({ referral: { question: '', urgencyAsked: null, urgencyReason: '' }, agreement: null });
    expect(preview(c, []).blockers.map((b) => b.code)).toEqual(['AGREEMENT_MISSING', 'QUESTION_MISSING']);
  });
});
