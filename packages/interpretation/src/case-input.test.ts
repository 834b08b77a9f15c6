import { EMPTY_STATE_AT_SCAN, type MeasurementRecord } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { type CaseFacts, caseInput, standing } from './case-input';

const measured = (id: string, more: Partial<MeasurementRecord> = {}): MeasurementRecord => ({
  id,
  code: 'lvidd',
  value: 30,
  unit: 'mm',
  asTyped: '30 mm',
  view: null,
  method: null,
  beat: 1,
  clipId: null,
  frame: null,
  source: 'typed',
  geometry: null,
  supersedesId: null,
  withdrawn: false,
  side: 'sender',
  madeBy: 'Somebody',
  madeAt: '2026-11-25T10:00:00.000Z',
  supersededById: null,
  ...more,
});
const facts: CaseFacts = {
  patient: {
    id: 'p',
    number: 1,
    revision: 1,
    name: 'Pebble',
    species: 'dog',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
    weight: null,
    ageMonths: null,
  },
  plan: 'collapse',
  urgencyAsked: null,
  scans: [],
  measurements: [],
  observations: [],
  clips: [],
};

describe('standing', () => {
  it("leaves out what was superseded or withdrawn, and the sender's values of a code that the reader measured", () => {
    const all = [
      measured('old', { supersededById: 'new' }),
      measured('new'),
      measured('gone', { code: 'lvids', withdrawn: true }),
      measured('sent', { code: 'ivsd' }),
      measured('read', { code: 'ivsd', side: 'reader' }),
    ];
    expect(standing(all).map((m) => m.id)).toEqual(['new', 'read']);
  });
});

describe('caseInput', () => {
  it('gives no weight where none is known, names whose answer it is, and takes only named views', () => {
    const answer = {
      id: 'o',
      code: 'collapse' as const,
      value: 'yes',
      supersedesId: null,
      side: 'machine' as const,
      madeBy: '',
      madeAt: '2026-11-25T10:00:00.000Z',
      supersededById: null,
    };
    const input = caseInput({
      ...facts,
      scans: [
        {
          id: 's',
          patientId: 'p',
          scannedOn: '2026-11-25',
          operator: '',
          machine: '',
          revision: 1,
          state: { ...EMPTY_STATE_AT_SCAN, sedative: 'alpha-2' },
        },
      ],
      observations: [
        answer,
        { ...answer, id: 'older', supersededById: 'o' },
        { ...answer, id: 'taken back', value: null },
      ],
      clips: [
        { id: 'c1', view: 'lap-4ch', viewJudged: 'received', viewWhy: null },
        { id: 'c2', view: null, viewJudged: 'received', viewWhy: null },
      ],
    });
    expect(input.patient.weight).toBeNull();
    expect(input.state.sedative).toBe('alpha-2');
    expect(input.observations).toEqual([{ id: 'o', code: 'collapse', value: 'yes', side: 'machine' }]);
    expect(input.views).toEqual([{ view: 'lap-4ch', clipId: 'c1', judged: 'received', why: null }]);
  });

  it('leaves a view in doubt whose clip a reader calls not usable, so that it is asked for again', () => {
    const said = (judged: 'adequate' | 'not-possible', side: 'sender' | 'reader') => ({
      id: side,
      clipId: 'c1',
      statement: { kind: 'judgement' as const, view: 'lap-4ch' as const, judged, axis: null, why: 'dark' },
      side,
      by: '',
      at: '2026-11-25T10:00:00.000Z',
    });
    const clips = [{ id: 'c1', view: 'lap-4ch' as const, viewJudged: 'received' as const, viewWhy: null }];
    const both = caseInput({
      ...facts,
      clips,
      statements: [said('not-possible', 'reader'), said('adequate', 'sender')],
    });
    expect(both.views).toEqual([{ view: 'lap-4ch', clipId: 'c1', judged: 'doubtful', why: 'dark' }]);
    const senders = caseInput({ ...facts, clips, statements: [said('adequate', 'sender')] });
    expect(senders.views[0]?.judged).toBe('adequate');
  });

  it('takes a view that could not be had from the newest scan, and keeps it out of the state that grades rest on', () => {
    const scan = (id: string, notPossible: Record<string, 'panting'>) => ({
      id,
      patientId: 'p',
      scannedOn: '2026-11-25',
      operator: '',
      machine: '',
      revision: 1,
      state: { ...EMPTY_STATE_AT_SCAN, notPossible },
    });
    const input = caseInput({
      ...facts,
      scans: [scan('s1', { 'lap-5ch': 'panting' }), scan('s2', { 'lap-4ch': 'panting' })],
    });
    expect(input.views).toEqual([{ view: 'lap-4ch', clipId: null, judged: 'not-possible', why: 'panting' }]);
    expect(Object.keys(input.state)).not.toContain('notPossible');
  });
});
