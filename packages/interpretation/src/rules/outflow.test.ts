/**
 * Outlets, ducts and what looks narrow: gradients on their named scales (Eason 2021, 10.1016/j.jvc.2021.08.005, for the
 * aortic outlet; Visser 2016 for the tricuspid one), the zone between 1.9 and 2.4 m/s that a cardiologist settles, and the
 * rules that are common practice or from memory, each saying so.
 */
import { describe, expect, it } from 'vitest';
import type { CaseParts } from '../testing/case-builder';
import { flagCard, flagCodes } from '../testing/flag-card';

const PRACTICE = {
  citation: expect.stringMatching(/^Common practice/),
  doi: null,
  status: 'common practice',
};
const adult: CaseParts = { kg: 25, plan: 'outflow' };
const card = (measure: CaseParts['measure'], code: string, rest: CaseParts = {}) =>
  flagCard({ ...adult, measure: measure ?? {}, ...rest }, code);
/** Velocity of a gradient by 4·v². */
const of = (mmHg: number): number => Math.sqrt(mmHg / 4);

describe('graded gradients', () => {
  it.each([
    ['ao-vmax', 60, 'AORTIC_GRADIENT_GRADED', 'ao-gradient', 'moderate', null],
    ['ao-vmax', 100, 'AORTIC_GRADIENT_GRADED', 'ao-gradient', 'severe', 'urgent'],
    ['ao-vmax', 140, 'AORTIC_GRADIENT_GRADED', 'ao-gradient', 'very-severe', 'urgent'],
    ['pa-vmax', 60, 'PULMONIC_GRADIENT_GRADED', 'pa-gradient', 'moderate', null],
    ['pa-vmax', 90, 'PULMONIC_GRADIENT_GRADED', 'pa-gradient', 'severe', 'urgent'],
    ['tr-vmax', 60, 'TRICUSPID_GRADIENT_GRADED', 'tr-gradient', 'moderate', null],
    ['tr-vmax', 90, 'TRICUSPID_GRADIENT_GRADED', 'tr-gradient', 'severe', 'urgent'],
  ] as const)('%s of %s mmHg: %s, %s %s; urgency %s', (velocity, mmHg, code, index, grade, urgency) => {
    expect(card({ [velocity]: of(mmHg) }, code)).toMatchObject({
      rule: `grade.${index}`,
      level: 'look',
      urgency,
      data: {
        value: expect.closeTo(mmHg, 9),
        grade,
        scale: expect.stringMatching(/^Eason 2021|^three-band convention|^Visser 2016/),
      },
      indices: [index],
      measured: [velocity],
    });
  });

  it('names the source of the scale that graded', () => {
    expect(card({ 'ao-vmax': of(60) }, 'AORTIC_GRADIENT_GRADED')?.sources).toEqual([
      expect.objectContaining({ doi: '10.1016/j.jvc.2021.08.005' }),
    ]);
  });

  it('names one scale for a Boxer too, though an older one of its own is shown beside it', () => {
    const boxer = card({ 'ao-vmax': of(60) }, 'AORTIC_GRADIENT_GRADED', { breed: 'boxer' });
    expect(boxer?.sources.map((s) => s.doi)).toEqual(['10.1016/j.jvc.2021.08.005']);
  });

  it('is not graded in a cat, and a tricuspid gradient below the groups of Visser 2016 raises nothing', () => {
    expect(flagCodes({ species: 'cat', measure: { 'ao-vmax': 4 } })).not.toContain('AORTIC_GRADIENT_GRADED');
    expect(flagCodes({ ...adult, measure: { 'tr-vmax': of(20) } })).not.toContain(
      'TRICUSPID_GRADIENT_GRADED',
    );
  });
});

describe('the zone that a cardiologist settles', () => {
  it.each(['outflow', 'breeding-screen'] as const)('is said for the question %s', (plan) => {
    expect(card({ 'ao-vmax': 2.1 }, 'OUTFLOW_VELOCITY_EQUIVOCAL', { plan })).toMatchObject({
      rule: 'outflow.screening-zone',
      level: 'look',
      urgency: null,
      data: { value: 2.1, from: 1.9, to: 2.4 },
      indices: ['ao-vmax'],
      measured: ['ao-vmax'],
      sources: [{ citation: expect.stringMatching(/registry practice/), doi: null, status: 'secondary' }],
    });
  });

  it.each([1.9, 2.4])('holds its ends: %s m/s', (value) => {
    expect(card({ 'ao-vmax': value }, 'OUTFLOW_VELOCITY_EQUIVOCAL')).toBeDefined();
  });

  it.each([
    ['below the zone', { 'ao-vmax': 1.89 }, {}],
    ['above the zone', { 'ao-vmax': 2.41 }, {}],
    ['another question', { 'ao-vmax': 2.1 }, { plan: 'small-dog-murmur' }],
    ['a cat', { 'ao-vmax': 2.1 }, { species: 'cat', kg: 4 }],
    ['a breed that general limits do not fit', { 'ao-vmax': 2.1 }, { breed: 'greyhound' }],
    ['no velocity', {}, {}],
    [
      'the rate itself is the emergency',
      { 'ao-vmax': 2.1, 'heart-rate': 240 },
      { observe: { collapse: 'yes' } },
    ],
  ] as const)('is not said: %s', (_, measure, rest) => {
    expect(card(measure, 'OUTFLOW_VELOCITY_EQUIVOCAL', rest)).toBeUndefined();
  });
});

describe('not cleared while growing (about 12 months, from memory)', () => {
  const screen = (ageMonths: number | null, rest: CaseParts = {}) =>
    card({ 'ao-vmax': 1.4 }, 'OUTLET_NOT_CLEARED_YOUNG', { plan: 'breeding-screen', ageMonths, ...rest });

  it('is said at 11 months and not at 12', () => {
    expect(screen(11)).toMatchObject({
      rule: 'outflow.young',
      level: 'note',
      urgency: null,
      data: { ageMonths: 11 },
      measured: ['ao-vmax'],
      sources: [{ citation: expect.stringMatching(/12 months.*memory/), doi: null, status: 'memory' }],
    });
    expect(screen(12)).toBeUndefined();
    expect(screen(null)).toBeUndefined();
    expect(screen(11, { plan: 'outflow' })).toBeUndefined();
    expect(screen(11, { measure: { 'pa-vmax': 1 } })).toBeUndefined();
  });
});

describe('what is seen without a number', () => {
  it('a narrow outlet wants aligned Doppler', () => {
    expect(card({}, 'OUTLET_NARROW_WANTS_DOPPLER', { observe: { 'outlet-narrow': 'yes' } })).toMatchObject({
      rule: 'look.outlet-narrow',
      level: 'look',
      urgency: null,
      data: {},
      observed: ['outlet-narrow'],
      sources: [PRACTICE],
    });
    expect(card({}, 'OUTLET_NARROW_WANTS_DOPPLER', { observe: { 'outlet-narrow': 'no' } })).toBeUndefined();
  });

  it('SAM wants Doppler unless there is a velocity', () => {
    const sam = { observe: { sam: 'yes' } };
    expect(card({}, 'SAM_WANTS_DOPPLER', sam)).toMatchObject({
      rule: 'look.sam',
      level: 'look',
      urgency: null,
      data: {},
      observed: ['sam'],
      sources: [PRACTICE],
    });
    expect(card({ 'ao-vmax': 2 }, 'SAM_WANTS_DOPPLER', sam)).toBeUndefined();
    expect(card({}, 'SAM_WANTS_DOPPLER', { observe: { sam: 'no' } })).toBeUndefined();
  });

  it('a duct jet below 5 m/s lets one suspect pressure in the lungs', () => {
    expect(card({ 'duct-vmax': 4.9 }, 'DUCT_JET_SLOW')).toMatchObject({
      rule: 'shunt.duct-slow',
      level: 'look',
      urgency: null,
      data: { value: 4.9, usualFrom: 5 },
      indices: ['duct-vmax'],
      measured: ['duct-vmax'],
      sources: [{ citation: expect.stringMatching(/^Clinical Small Animal Internal Medicine, ch\. 16/) }],
    });
    expect(card({ 'duct-vmax': 5 }, 'DUCT_JET_SLOW')).toBeUndefined();
    expect(card({}, 'DUCT_JET_SLOW')).toBeUndefined();
  });
});
