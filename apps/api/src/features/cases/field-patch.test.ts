import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mergePatch } from './field-patch';

const row = (values: Record<string, unknown>, revision = 1) => ({ revision, fieldRevisions: {}, values });

describe('mergePatch', () => {
  it('applies fields that nobody else changed, and raises the revision once', () => {
    const done = mergePatch(
      row({ history: '', question: '' }, 4),
      { base: 4, fields: { history: 'Coughs.', question: 'Heart?' } },
      'A',
    );
    expect(done.accepted).toEqual({ history: 'Coughs.', question: 'Heart?' });
    expect(done.revision).toBe(5);
    expect(done.fieldRevisions).toEqual({ history: { at: 5, by: 'A' }, question: { at: 5, by: 'A' } });
  });

  it('keeps the other value and shows both when a field was changed after the base', () => {
    const done = mergePatch(
      { revision: 7, fieldRevisions: { history: { at: 6, by: 'B' } }, values: { history: 'At night.' } },
      { base: 5, fields: { history: 'After exercise.' } },
      'A',
    );
    expect(done.accepted).toEqual({});
    expect(done.conflicts).toEqual([
      { field: 'history', yours: 'After exercise.', theirs: 'At night.', by: 'B' },
    ]);
    expect(done.revision).toBe(7);
  });

  it('takes a change that was made in sight of the other', () => {
    const seen = { revision: 7, fieldRevisions: { history: { at: 6, by: 'B' } }, values: { history: 'x' } };
    expect(mergePatch(seen, { base: 6, fields: { history: 'y' } }, 'A').accepted).toEqual({ history: 'y' });
  });

  it('is no conflict and no revision when both typed the same', () => {
    const same = { revision: 3, fieldRevisions: { plan: { at: 3, by: 'B' } }, values: { plan: 'collapse' } };
    expect(mergePatch(same, { base: 1, fields: { plan: 'collapse' } }, 'A')).toEqual({
      accepted: {},
      conflicts: [],
      fieldRevisions: same.fieldRevisions,
      revision: 3,
      stands: { plan: 3 },
    });
  });

  it('takes a field on the revision that was seen of it, and not the others of the same patch', () => {
    const seen = {
      revision: 6,
      fieldRevisions: { question: { at: 5, by: 'A' }, history: { at: 6, by: 'B' } },
      values: { question: 'x', history: 'hers' },
    };
    const done = mergePatch(
      seen,
      { base: 3, bases: { question: 5 }, fields: { question: 'x and more', history: 'mine' } },
      'A',
    );
    expect(done.accepted).toEqual({ question: 'x and more' });
    expect(done.stands).toEqual({ question: 7 });
    expect(done.conflicts.map((c) => c.field)).toEqual(['history']);
  });

  it('tells null, the empty text and an absent field apart', () => {
    const done = mergePatch(
      row({ chip: '372', note: null, keep: 'k' }),
      { base: 1, fields: { chip: null, note: '', keep: undefined } },
      'A',
    );
    expect(done.accepted).toEqual({ chip: null, note: '' });
  });
});

/**
 * Several people type into one row, each from the revision that they last saw. A typed value may end in one of three
 * ways only: it stands; its writer was shown the conflict; or somebody who had seen it replaced it.
 */
describe('any series of patches', () => {
  const fields = ['history', 'question', 'plan'] as const;
  const write = fc.record({
    who: fc.constantFrom('A', 'B', 'C'),
    field: fc.constantFrom(...fields),
    second: fc.option(fc.constantFrom(...fields), { nil: null }),
    // How many revisions behind the row the writer's page is.
    behind: fc.nat({ max: 4 }),
  });

  it('loses no typed value in silence, and its revision only rises', () => {
    fc.assert(
      fc.property(fc.array(write, { minLength: 1, maxLength: 25 }), (writes) => {
        let state = {
          revision: 1,
          fieldRevisions: {} as Record<string, { at: number; by: string }>,
          values: { history: '', question: '', plan: '' } as Record<string, unknown>,
        };
        const standing = new Map<string, { value: unknown; at: number }>();
        for (const [n, w] of writes.entries()) {
          const base = Math.max(1, state.revision - w.behind);
          const typed: Record<string, unknown> = { [w.field]: `${w.who} ${n}` };
          if (w.second) typed[w.second] = `${w.who} ${n} second`;
          const done = mergePatch(state, { base, fields: typed }, w.who);
          expect(done.revision).toBeGreaterThanOrEqual(state.revision);
          for (const [field, yours] of Object.entries(typed)) {
            const shown = done.conflicts.find((c) => c.field === field);
            // Exactly one of the two.
            expect(field in done.accepted, `${field} accepted or shown`).toBe(shown === undefined);
            const before = standing.get(field);
            if (shown) {
              expect(shown).toMatchObject({ yours, theirs: before?.value });
            } else {
              expect(done.accepted[field]).toBe(yours);
              if (before)
                expect(before.at, 'replaced only by somebody who had seen it').toBeLessThanOrEqual(base);
              standing.set(field, { value: yours, at: done.revision });
            }
          }
          state = {
            revision: done.revision,
            fieldRevisions: done.fieldRevisions,
            values: { ...state.values, ...done.accepted },
          };
        }
        for (const [field, s] of standing) expect(state.values[field]).toBe(s.value);
      }),
      { numRuns: 400 },
    );
  });
});
