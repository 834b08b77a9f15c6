/**
 * Probability of pulmonary hypertension in dogs by the consensus of 2020 (Reinero et al., J Vet Intern Med 2020;34:549-573,
 * 10.1111/jvim.15725; its table and its signs from memory): which sign belongs to which of the three sites, and what is said
 * while a site was not looked at.
 */
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';

type Measure = NonNullable<CaseParts['measure']>;
type Observe = NonNullable<CaseParts['observe']>;
const ph = (measure: Measure, observe: Observe = {}, rest: CaseParts = {}) =>
  interpret(caseOf({ plan: 'right-heart', kg: 10, measure, observe, ...rest })).stages.find(
    (s) => s.scheme === 'acvim-ph-2020',
  );

const SITE = { v: 'ph-site-ventricles', a: 'ph-site-pulmonary-artery', r: 'ph-site-right-atrium' };

describe('signs and their sites', () => {
  it.each([
    ['a flat septum', SITE.v, {}, { 'septum-flat': 'yes' }, { 'septum-flat': 'no' }],
    [
      'a right ventricle as large as the left',
      SITE.v,
      {},
      { 'rv-as-large-as-lv': 'yes' },
      { 'rv-as-large-as-lv': 'no' },
    ],
    ['a large right atrium', SITE.r, {}, { 'right-atrium': 'large' }, { 'right-atrium': 'not-large' }],
  ] as const)('%s is a sign of its site, its absence is none', (_, site, measure, yes, no) => {
    expect(ph(measure, yes)?.met).toEqual([site]);
    expect(ph(measure, no)?.unmet).toEqual([site]);
  });

  it.each([
    [
      'pulmonary artery over aorta above 1',
      SITE.a,
      { mpa: 10.1, 'ao-beside-mpa': 10 },
      { mpa: 10, 'ao-beside-mpa': 10 },
    ],
    ['a pulmonic leak over 2.5 m/s', SITE.a, { 'pr-vmax': 2.51 }, { 'pr-vmax': 2.5 }],
    ['distensibility below 30 %', SITE.a, { 'rpa-max': 10, 'rpa-min': 7.1 }, { 'rpa-max': 10, 'rpa-min': 7 }],
    ['an acceleration below 52 ms', SITE.a, { 'pa-at': 51 }, { 'pa-at': 52 }],
    [
      'acceleration over ejection below 0.3',
      SITE.a,
      { 'pa-at': 58, 'pa-et': 194 },
      { 'pa-at': 60, 'pa-et': 200 },
    ],
    ['a slow tricuspid annulus', SITE.v, { tapse: 3 }, { tapse: 12 }],
    [
      'a small change of the right area',
      SITE.v,
      { 'rv-area-d': 4, 'rv-area-s': 3.8 },
      { 'rv-area-d': 4, 'rv-area-s': 1.5 },
    ],
    ['a large right area', SITE.v, { 'rv-area-d': 14 }, { 'rv-area-d': 3 }],
  ] as const)('%s is a sign, its edge is none', (_, site, sign, none) => {
    expect(ph(sign)?.met).toEqual([site]);
    expect(ph(none)?.met).toEqual([]);
    expect(ph(none)?.unmet).toEqual([site]);
  });
});

describe('what is said', () => {
  it('names the sites looked at, those not, and the jet', () => {
    expect(ph({ 'pr-vmax': 3 }, { 'septum-flat': 'no' })).toEqual({
      scheme: 'acvim-ph-2020',
      code: 'ph-low-so-far',
      met: [SITE.a],
      unmet: [SITE.v],
      missing: [SITE.r, 'tricuspid-jet'],
      source: {
        citation: expect.stringMatching(/^Reinero C.*2020;34:549-573 \(table from memory\)/),
        doi: '10.1111/jvim.15725',
        status: 'memory',
      },
    });
  });

  it('is final once every site and the jet were looked at', () => {
    const all = { 'septum-flat': 'no', 'right-atrium': 'not-large' };
    expect(ph({ 'pr-vmax': 2, 'tr-vmax': 2.5 }, all)).toMatchObject({ code: 'ph-low', missing: [] });
    expect(ph({ 'pr-vmax': 2 }, all)).toMatchObject({ code: 'ph-low-so-far', missing: ['tricuspid-jet'] });
    expect(ph({ 'pr-vmax': 3, 'tr-vmax': 3.2 }, all)).toMatchObject({ code: 'ph-intermediate' });
  });

  it('is high at once: nothing that is still missing could lower it', () => {
    expect(ph({ 'tr-vmax': 3.8 }, { 'septum-flat': 'yes' })).toMatchObject({
      code: 'ph-high',
      met: [SITE.v],
      missing: [SITE.a, SITE.r],
    });
  });

  it('is spoken of when asked for, when a jet was measured, or when a sign was seen', () => {
    const other = { plan: 'small-dog-murmur' } as const;
    expect(ph({}, { 'septum-flat': 'no' })).toBeDefined();
    expect(ph({}, { 'septum-flat': 'no' }, other)).toBeUndefined();
    expect(ph({}, { 'septum-flat': 'yes' }, other)).toBeDefined();
    expect(ph({ 'tr-vmax': 2.4 }, {}, other)).toBeDefined();
    expect(ph({})).toBeUndefined();
    expect(ph({ 'tr-vmax': 4 }, {}, { species: 'cat' })).toBeUndefined();
  });
});
