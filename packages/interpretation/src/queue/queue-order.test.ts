import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { QueueItem } from './queue-order';
import { queueOrder, queueReasons } from './queue-order';

const item = (parts: Partial<QueueItem>): QueueItem => ({
  actNow: false,
  urgency: 'routine',
  dueAtMs: 1_000_000,
  sentAtMs: 0,
  nowMs: 500_000,
  clinicalWords: [],
  ...parts,
});

const anyItem: fc.Arbitrary<QueueItem> = fc.record({
  actNow: fc.boolean(),
  urgency: fc.constantFrom('emergency' as const, 'urgent' as const, 'routine' as const),
  dueAtMs: fc.option(fc.integer({ min: 0, max: 1e13 })),
  sentAtMs: fc.integer({ min: 0, max: 1e13 }),
  nowMs: fc.constant(5e12),
  clinicalWords: fc.array(fc.constantFrom('collapse', 'blue-gums'), { maxLength: 2 }),
});

describe('queueOrder', () => {
  it('lets clinical words outrank numbers, then act-now, urgency, due time and waiting', () => {
    const rows = [
      item({ sentAtMs: 5 }),
      item({ sentAtMs: 1 }),
      item({ dueAtMs: 600_000 }),
      item({ urgency: 'urgent' }),
      item({ actNow: true, urgency: 'urgent' }),
      item({ clinicalWords: ['collapse'], urgency: 'routine' }),
      item({ dueAtMs: null }),
    ];
    expect([...rows].sort(queueOrder).map((r) => rows.indexOf(r))).toEqual([5, 4, 3, 2, 1, 0, 6]);
  });

  it('is a total order: antisymmetric and transitive', () => {
    fc.assert(
      fc.property(anyItem, anyItem, anyItem, (a, b, c) => {
        expect(Math.sign(queueOrder(a, b)) + Math.sign(queueOrder(b, a))).toBe(0);
        if (queueOrder(a, b) <= 0 && queueOrder(b, c) <= 0) expect(queueOrder(a, c)).toBeLessThanOrEqual(0);
      }),
    );
  });

  it('never moves a case back when it gets worse', () => {
    fc.assert(
      fc.property(anyItem, anyItem, (a, other) => {
        for (const worse of [
          { actNow: true },
          { urgency: 'emergency' as const },
          { clinicalWords: ['collapse', ...a.clinicalWords] },
        ]) {
          if (queueOrder(a, other) <= 0) expect(queueOrder({ ...a, ...worse }, other)).toBeLessThanOrEqual(0);
        }
      }),
    );
  });

  it('gives its reasons in the order of comparison, with lateness in minutes', () => {
    const reasons = queueReasons(
      item({
        actNow: true,
        urgency: 'urgent',
        dueAtMs: 380_000,
        nowMs: 500_000,
        clinicalWords: ['collapse'],
      }),
    );
    expect(reasons.map((r) => r.code)).toEqual(['CLINICAL_WORDS', 'ACT_NOW', 'URGENCY', 'LATE', 'WAITING']);
    expect(reasons[3]?.data).toEqual({ minutes: 2 });
  });
});
