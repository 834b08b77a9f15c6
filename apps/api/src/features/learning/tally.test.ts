import { describe, expect, it } from 'vitest';
import { type JudgedClip, quarterOf, type SideValue, tallyMeasured, tallyViews } from './tally';

const clip = (view: JudgedClip['view'], day: string, judged: JudgedClip['judged']): JudgedClip => ({
  view,
  day,
  judged,
});

describe('tallyViews', () => {
  it('counts by view and quarter, what was not judged apart from what was', () => {
    const views = tallyViews([
      clip('rps-short-aortic', '2026-03-31', 'doubtful'),
      clip('rps-long-4ch', '2026-04-01', 'adequate'),
      clip('rps-short-aortic', '2026-04-01', 'adequate'),
      clip('rps-short-aortic', '2026-04-02', null),
      clip('rps-short-aortic', '2025-12-31', 'not-possible'),
    ]);
    expect(views.map((v) => [v.view, v.adequate, v.doubtful, v.notPossible, v.notJudged])).toEqual([
      ['rps-short-aortic', 1, 1, 1, 1],
      ['rps-long-4ch', 1, 0, 0, 0],
    ]);
    expect(views[0]?.quarters.map((q) => q.quarter)).toEqual(['2025-Q4', '2026-Q1', '2026-Q2']);
  });

  it('puts each month into its quarter', () => {
    expect(
      ['01', '03', '04', '06', '07', '09', '10', '12'].map((m) => quarterOf(`2026-${m}-15`).slice(-2)),
    ).toEqual(['Q1', 'Q1', 'Q2', 'Q2', 'Q3', 'Q3', 'Q4', 'Q4']);
  });
});

describe('tallyMeasured', () => {
  const value = (side: SideValue['side'], v: number, part: Partial<SideValue> = {}): SideValue => ({
    referralId: 'r',
    species: 'dog',
    code: 'lvidd',
    unit: 'mm',
    view: 'rps-short-papillary',
    beat: 1,
    side,
    value: v,
    ...part,
  });

  it('compares the same beat of the same view of the same case only', () => {
    for (const part of [
      { beat: 2 },
      { view: 'rps-long-4ch' },
      { referralId: 'other' },
      { code: 'lvids' },
      { unit: 'cm' },
    ] as const)
      expect(tallyMeasured([value('sender', 30), value('reader', 30, part)]), JSON.stringify(part)).toEqual(
        [],
      );
    expect(tallyMeasured([value('sender', 30)])).toEqual([]);
  });

  it('calls apart only what 2.77 × CV of the mean does not explain', () => {
    // A dog's linear dimensions: CV 8.8 % (shared/limits), so 24.4 % of the mean; 33 and 27 differ by 20 %, 35 and 25 by 33 %.
    const [found] = tallyMeasured([
      value('sender', 33),
      value('reader', 27),
      value('sender', 35, { referralId: 'second' }),
      value('reader', 25, { referralId: 'second' }),
    ]);
    expect(found).toMatchObject({ code: 'lvidd', pairs: 2, beyondError: 1, comparable: 2 });
    expect(found?.meanDifferencePercent).toBeCloseTo((20 + 100 / 3) / 2, 10);
  });

  it('turns its sign when the sides are changed, and says nothing of error where none is published', () => {
    const [one] = tallyMeasured([value('sender', 33), value('reader', 27)]);
    const [other] = tallyMeasured([value('sender', 27), value('reader', 33)]);
    expect(other?.meanDifferencePercent).toBe(-(one?.meanDifferencePercent ?? Number.NaN));
    const unknown = { code: 'epss', species: 'rabbit' } as const;
    expect(
      tallyMeasured([value('sender', 5, unknown), value('reader', 4, unknown)])[0]?.beyondError,
    ).toBeNull();
  });
});
