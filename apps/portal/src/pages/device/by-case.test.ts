import { describe, expect, it } from 'vitest';
import type { Op } from '../../host/device';
import { byCase } from './by-case';

const op = (seq: number, part: Partial<Op>): Op => ({
  seq,
  id: `op${seq}`,
  memberId: 'm',
  practiceId: 'p',
  route: 'putMeasurement',
  params: {},
  body: {},
  keys: ['case:r1'],
  needs: [],
  row: null,
  about: '',
  saidAt: `2026-11-25T09:0${seq}:00.000Z`,
  state: 'waiting',
  needsPassword: false,
  tries: 0,
  says: null,
  code: null,
  ...part,
});

describe('what waits of a practice', () => {
  it('is shown by case, a patient with the case it was made for, another patient by itself', () => {
    const cases = byCase(
      [
        op(1, { route: 'putPatient', keys: ['patient:a'], about: 'Thistle' }),
        op(2, { route: 'putReferral', keys: ['case:r1', 'scan:s'], needs: ['patient:a'] }),
        op(3, {}),
        op(4, { route: 'putWeight', keys: ['patient:b'], about: 'Bracken' }),
      ],
      [],
      [],
    );
    expect(cases.map((c) => [c.referralId, c.about, c.ops.map((o) => o.seq)])).toEqual([
      ['r1', 'Thistle', [1, 2, 3]],
      [null, 'Bracken', [4]],
    ]);
    expect(cases[0]?.since).toBe('2026-11-25T09:01:00.000Z');
  });

  it('shows the visit of a round, its patient and its case as one', () => {
    const visit = (seq: number, needs: string[]) =>
      op(seq, { route: 'putVisit', keys: ['visit:v'], needs, about: 'Vesper' });
    const made = [
      visit(1, ['round:d']),
      op(2, { route: 'putPatient', keys: ['patient:a'] }),
      op(3, { route: 'putReferral', keys: ['case:r1', 'scan:s'], needs: ['patient:a'] }),
      visit(4, ['patient:a', 'case:r1']),
      op(5, { route: 'patchScan', keys: ['scan:s'] }),
    ];
    expect(byCase(made, [], []).map((c) => [c.referralId, c.ops.length])).toEqual([['r1', 5]]);
  });

  it('shows a sending with its case', () => {
    const send = op(2, { route: 'sendReferral', keys: ['sending:r1'], needs: ['case:r1', 'patient:a'] });
    expect(byCase([op(1, {}), send], [], []).map((c) => [c.referralId, c.ops.length])).toEqual([['r1', 2]]);
  });

  it('names a case that has files only', () => {
    const files = [{ arrivalId: 'f', referralId: 'r9' }] as unknown as Parameters<typeof byCase>[1];
    expect(byCase([], files, [])).toMatchObject([{ referralId: 'r9', ops: [], files: [{ arrivalId: 'f' }] }]);
  });
});
