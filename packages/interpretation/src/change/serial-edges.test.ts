/**
 * Comparisons over time at their edges: 2.77 × CV of the mean of both (the smallest change that is more than measuring
 * error, 95 %), what forbids a comparison, what is said beside it, and the published definition of transient thickening
 * (Novo Matos 2018, 10.1111/jvim.14897: 6 mm or more with failure, later below 5.5 mm, a smaller atrium, failure gone).
 */
import type { InterpretationInput, ScanNumbers } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { serialChange } from './serial-change';

const scan = (scannedOn: string, parts: CaseParts, operator: string | null = 'a'): ScanNumbers => ({
  scannedOn,
  operator,
  input: caseOf(parts),
});
const now = (parts: CaseParts, operator: string | null = 'a') => scan('2026-11-10', parts, operator);
const then = (parts: CaseParts, operator: string | null = 'a') => scan('2026-05-10', parts, operator);
const changed = (a: ScanNumbers, b: ScanNumbers, index: string) =>
  serialChange(a, [b]).changes.find((c) => c.index === index);
const codes = (a: ScanNumbers, b: ScanNumbers, index: string) =>
  changed(a, b, index)?.cautions.map((c) => c.code);

describe('the smallest change', () => {
  it('of a wall rests on the measuring error of one size: 2.77 · 8.8 % of 8.5 mm is 2.07 mm', () => {
    const wall = (mm: number): CaseParts => ({ kg: 10, measure: { ivsd: mm } });
    expect(changed(now(wall(9)), then(wall(8)), 'ivsd')).toMatchObject({
      smallest: expect.closeTo((2.77 * 8.5 * 8.8) / 100, 9),
      difference: 1,
      now: 9,
      earlier: 8,
      unit: 'mm',
      earlierOn: '2026-05-10',
      operators: 'same',
      verdict: 'cannot-be-told',
      cautions: [],
    });
    // 7 and 9.2 mm differ by 2.2 mm; 2.77 · 8.8 % of 8.1 mm is 1.97 mm.
    expect(changed(now(wall(9.2)), then(wall(7)), 'ivsd')?.verdict).toBe('beyond-error');
    expect(changed(now(wall(7)), then(wall(9.2)), 'ivsd')?.verdict).toBe('beyond-error');
  });

  it('is not known where no repeatability is', () => {
    const strain = (percent: number): CaseParts => ({ species: 'cat', measure: { 'la-strain': percent } });
    expect(changed(now(strain(5)), then(strain(30)), 'la-strain')).toMatchObject({
      smallest: null,
      verdict: 'not-compared',
      cautions: [{ code: 'REPEATABILITY_NOT_KNOWN', data: { index: 'la-strain' } }],
    });
  });

  it.each([
    ['a', 'a', 'same'],
    ['a', 'b', 'different'],
    [null, 'a', 'unknown'],
    ['a', null, 'unknown'],
    [null, null, 'unknown'],
  ] as const)('by %s and %s: operators %s', (one, other, operators) => {
    const LA: CaseParts = { measure: { 'la-sax': 16, 'ao-sax': 10 } };
    expect(changed(now(LA, one), then(LA, other), 'la-ao')?.operators).toBe(operators);
  });
});

describe('what is no pair', () => {
  const LV: CaseParts = { kg: 10, measure: { lvidd: 30, lvids: 20 } };
  it('other views', () => {
    const other: InterpretationInput = structuredClone(then(LV).input);
    for (const m of other.measurements) m.view = 'rps-long-4ch';
    const change = changed(now(LV), { ...then(LV), input: other }, 'fs');
    expect(change?.verdict).toBe('not-compared');
    expect(change?.cautions[0]).toEqual({ code: 'OTHER_VIEW', data: { index: 'fs' } });
  });

  it('a wall of another segment', () => {
    const a = now({ species: 'cat', measure: { ivsd: 6 } });
    const b = then({ species: 'cat', measure: { lvwd: 6 } });
    expect(codes(a, b, 'wall-max-d')).toContain('OTHER_MEASUREMENT');
    expect(changed(a, b, 'wall-max-d')?.verdict).toBe('not-compared');
  });

  it.each([
    ['an alpha-2 sedative', { state: { sedative: 'alpha-2' } }],
    ['a flat septum', { observe: { 'septum-flat': 'yes' } }],
    ['fibrillation', { state: { rhythm: 'atrial-fibrillation' } }],
    [
      'a rate that is itself the emergency',
      { observe: { collapse: 'yes', arrhythmia: 'wide-beats-in-runs' } },
    ],
  ] as const)('function with %s, in either scan', (_, parts) => {
    for (const pair of [
      [now({ ...LV, ...parts }), then(LV)],
      [now(LV), then({ ...LV, ...parts })],
    ] as const) {
      expect(codes(...pair, 'fs')).toContain('STATE_FORBIDS');
      expect(changed(...pair, 'fs')?.verdict).toBe('not-compared');
    }
  });

  it('an index that the earlier scan did not have gives no line', () => {
    const earlier = then({ kg: 10, measure: { lvidd: 30 } });
    expect(changed(now(LV), earlier, 'fs')).toBeUndefined();
    expect(changed(now(LV), earlier, 'lviddn')).toBeDefined();
  });
});

describe('what is said beside a comparison', () => {
  const HEART: CaseParts = { kg: 10, measure: { lvidd: 30, 'la-sax': 16, 'ao-sax': 10, ivsd: 8 } };
  const differs = (field: string, nowIs: string | null, earlier: string | null) => ({
    code: 'STATE_DIFFERS',
    data: { field, now: nowIs, earlier },
  });

  it.each([
    ['sedative', 'gabapentin', 'none'],
    ['hydration', 'dry', 'normal'],
    ['rhythm', 'unknown', 'sinus'],
  ] as const)('%s: %s now, %s before', (field, nowIs, earlier) => {
    const change = changed(now({ ...HEART, state: { [field]: nowIs } }), then(HEART), 'ivsd');
    expect(change?.cautions).toEqual([differs(field, nowIs, earlier)]);
  });

  it('a diuretic for the atrium and the pulmonary vein, not for a wall', () => {
    const VEIN: CaseParts = {
      ...HEART,
      measure: { ...HEART.measure, 'pulmonary-vein': 8, 'pulmonary-artery-beside-vein': 6 },
    };
    const dried = now({ ...VEIN, state: { diuretic24h: 'yes' } });
    for (const index of ['la-ao', 'pv-pa'])
      expect(changed(dried, then(VEIN), index)?.cautions).toEqual([differs('diuretic24h', 'yes', 'no')]);
    expect(changed(dried, then(VEIN), 'ivsd')?.cautions).toEqual([]);
  });

  it('a weight that differs by a twentieth or more: it enters what is scaled, and stands beside the rest', () => {
    const at = (kg: number | null): CaseParts => ({
      ...HEART,
      kg,
      measure: { ...HEART.measure, 'lv-edv': 30 },
    });
    const data = { nowKg: 10.5, thenKg: 10 };
    for (const index of ['lviddn', 'edvi'])
      expect(changed(now(at(10.5)), then(at(10)), index)?.cautions).toEqual([
        { code: 'WEIGHT_ENTERS', data },
      ]);
    expect(changed(now(at(10.5)), then(at(10)), 'la-ao')?.cautions).toEqual([
      { code: 'WEIGHT_DIFFERS', data },
    ]);
    expect(changed(now(at(10.4)), then(at(10)), 'la-ao')?.cautions).toEqual([]);
    expect(codes(now(at(9.5)), then(at(10)), 'la-ao')).toEqual(['WEIGHT_DIFFERS']);
    expect(codes(now(at(null)), then(at(10)), 'la-ao')).toEqual([]);
    expect(codes(now(at(10)), then(at(null)), 'la-ao')).toEqual([]);
  });
});

describe('transient thickening of a cat', () => {
  const cat = (wall: number, la: number, observe: CaseParts['observe']): CaseParts => ({
    species: 'cat',
    measure: { 'wall-max-d': wall, 'la-sax': la, 'ao-sax': 10 },
    observe: observe ?? {},
  });
  const ILL = { 'pleural-fluid': 'moderate' };
  const DRY = { 'pleural-fluid': 'none', 'b-lines': 'few' };
  const found = (a: CaseParts, b: CaseParts) => serialChange(now(a), [then(b)]).findings;

  it('is met, with the four numbers', () => {
    expect(found(cat(5.4, 14, DRY), cat(6, 18, ILL))).toEqual([
      {
        code: 'TRANSIENT_THICKENING_DEFINITION_MET',
        data: { wallThenMm: 6, wallNowMm: 5.4, laAoThen: 1.8, laAoNow: 1.4 },
      },
    ]);
  });

  it.each([
    { 'ever-in-failure': 'yes' },
    { 'pleural-fluid': 'small' },
    { 'pleural-fluid': 'large' },
    { 'b-lines': 'many-both-sides' },
  ] as CaseParts['observe'][])('failure then: %o', (observe) => {
    expect(found(cat(5, 14, DRY), cat(6.8, 18, observe))).toHaveLength(1);
  });

  it.each([
    ['the wall was not thick', cat(5, 14, DRY), cat(5.9, 18, ILL)],
    ['the wall is not thin now', cat(5.5, 14, DRY), cat(6.8, 18, ILL)],
    ['the atrium did not shrink', cat(5, 18, DRY), cat(6.8, 18, ILL)],
    ['there was no failure', cat(5, 14, DRY), cat(6.8, 18, { 'pleural-fluid': 'none', 'b-lines': 'few' })],
    ['fluid is still there', cat(5, 14, { ...DRY, 'pleural-fluid': 'small' }), cat(6.8, 18, ILL)],
    ['the lungs were not looked at', cat(5, 14, { 'pleural-fluid': 'none' }), cat(6.8, 18, ILL)],
    ['the atrium was not measured', { ...cat(5, 14, DRY), measure: { 'wall-max-d': 5 } }, cat(6.8, 18, ILL)],
    [
      'the wall was not measured',
      { ...cat(5, 14, DRY), measure: { 'la-sax': 14, 'ao-sax': 10 } },
      cat(6.8, 18, ILL),
    ],
  ] as const)('is not met: %s', (_, a, b) => {
    expect(found(a, b)).toEqual([]);
  });

  it('is a definition of cats, against the first of several scans', () => {
    const dog = (parts: CaseParts): CaseParts => ({ ...parts, species: 'dog', kg: 5 });
    expect(found(dog(cat(5, 14, DRY)), dog(cat(6.8, 18, ILL)))).toEqual([]);
    const between = scan('2026-08-10', cat(5.8, 15, DRY));
    const first = then(cat(6.8, 18, ILL));
    for (const earlier of [
      [first, between],
      [between, first],
    ])
      expect(serialChange(now(cat(5, 14, DRY)), earlier).findings).toHaveLength(1);
  });
});
