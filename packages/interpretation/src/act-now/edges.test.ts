/**
 * Each sign alone, and each edge at, just under and just over: common practice and thresholds from memory
 * (shared/limits/act-now.json), to be confirmed by a clinician. A row that must stay silent says why.
 */
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';
import { cardOf, flagCodes } from '../testing/flag-card';

const cat: CaseParts = { species: 'cat' };
const horse: CaseParts = { species: 'horse', breed: null, kg: 510, plan: 'horse' };
const EFFORT = { 'breathing-effort': 'yes' };
const WET = { ...EFFORT, 'b-lines': 'many-both-sides' };

type Row = readonly [why: string, parts: CaseParts];

const fires = (code: string, rows: readonly Row[]): void => {
  it.each(rows)(`${code} fires: %s`, (_, parts) => {
    expect(flagCodes(parts)).toContain(code);
  });
};
const silent = (code: string, rows: readonly Row[]): void => {
  it.each(rows)(`${code} is silent: %s`, (_, parts) => {
    expect(flagCodes(parts)).not.toContain(code);
  });
};

describe('breathing', () => {
  fires('BREATHLESS_STOP_SCANNING', [
    ['open mouth', { observe: { 'open-mouth-breathing': 'yes' } }],
    ['blue gums', { observe: { 'blue-gums': 'yes' } }],
    ['cannot lie', { observe: { 'cannot-lie': 'yes' } }],
    ['61 with effort', { observe: EFFORT, measure: { 'breathing-rate': 61 } }],
  ]);
  silent('BREATHLESS_STOP_SCANNING', [
    ['effort alone', { observe: EFFORT }],
    ['a fast rate without effort', { measure: { 'breathing-rate': 90 } }],
  ]);
  fires('PLEURAL_FLUID_WITH_EFFORT', [
    ['a little fluid', { observe: { ...EFFORT, 'pleural-fluid': 'small' } }],
    ['a moderate amount', { observe: { ...EFFORT, 'pleural-fluid': 'moderate' } }],
    ['much', { observe: { ...EFFORT, 'pleural-fluid': 'large' } }],
    ['a tick of distress instead of effort', { observe: { 'blue-gums': 'yes', 'pleural-fluid': 'small' } }],
  ]);
  silent('PLEURAL_FLUID_WITH_EFFORT', [
    ['not seen is no fluid', { observe: { ...EFFORT, 'pleural-fluid': 'not-seen' } }],
    ['effort without fluid', { observe: { ...EFFORT, 'pleural-fluid': 'none' } }],
  ]);
  fires('LUNG_NOT_SLIDING', [
    [
      'no lines',
      { observe: { ...EFFORT, 'b-lines': 'none', 'pleural-fluid': 'none', 'lung-sliding': 'no' } },
    ],
    [
      'few lines',
      { observe: { ...EFFORT, 'b-lines': 'few', 'pleural-fluid': 'none', 'lung-sliding': 'no' } },
    ],
  ]);
  silent('LUNG_NOT_SLIDING', [
    ['no distress', { observe: { 'b-lines': 'none', 'pleural-fluid': 'none', 'lung-sliding': 'no' } }],
    ['wet', { observe: { ...WET, 'pleural-fluid': 'none', 'lung-sliding': 'no' } }],
    ['fluid', { observe: { ...EFFORT, 'b-lines': 'none', 'pleural-fluid': 'small', 'lung-sliding': 'no' } }],
    ['fluid not looked for', { observe: { ...EFFORT, 'b-lines': 'none', 'lung-sliding': 'no' } }],
    ['lines not looked for', { observe: { ...EFFORT, 'pleural-fluid': 'none', 'lung-sliding': 'no' } }],
  ]);
});

describe('failure of the left heart and the atrium', () => {
  fires('FITS_LEFT_HEART_FAILURE', [
    ['dog at 2.0', { observe: WET, measure: { 'la-sax': 24, 'ao-sax': 12 } }],
    ['cat at 1.8', { ...cat, observe: WET, measure: { 'la-sax': 18, 'ao-sax': 10 } }],
    ['very large by eye', { observe: { ...WET, 'la-by-eye': 'very-large' } }],
    ['large by eye in a horse', { ...horse, observe: { ...WET, 'la-by-eye': 'large' } }],
    ['one side', { observe: { ...EFFORT, 'b-lines': 'many-one-side', 'la-by-eye': 'large' } }],
    [
      "by the sender's word for distress",
      { observe: { 'scanning-stopped': 'yes', 'b-lines': 'many-both-sides', 'la-by-eye': 'large' } },
    ],
  ]);
  silent('FITS_LEFT_HEART_FAILURE', [
    ['dog at 1.99', { observe: WET, measure: { 'la-sax': 19.9, 'ao-sax': 10 } }],
    ['cat at 1.79', { ...cat, observe: WET, measure: { 'la-sax': 17.9, 'ao-sax': 10 } }],
    ['no distress', { observe: { 'b-lines': 'many-both-sides', 'la-by-eye': 'large' } }],
    ['dry lungs', { observe: { ...EFFORT, 'b-lines': 'few', 'la-by-eye': 'large' } }],
    ['atrium not known', { observe: WET }],
    ['the long axis of a dog has no threshold', { observe: WET, measure: { 'la-long': 60 }, kg: 30 }],
    ['a horse has no threshold', { ...horse, observe: WET, measure: { 'la-sax': 150, 'ao-sax': 70 } }],
  ]);
  it('does not take LA:Ao of another view for the short axis', () => {
    const input = caseOf({ observe: WET, measure: { 'la-sax': 26, 'ao-sax': 12 } });
    for (const m of input.measurements) m.view = 'rps-long-4ch';
    expect(interpret(input).flags.map((f) => f.code)).not.toContain('FITS_LEFT_HEART_FAILURE');
    for (const m of input.measurements) m.view = null;
    expect(interpret(input).flags.map((f) => f.code)).toContain('FITS_LEFT_HEART_FAILURE');
  });
  it('does not warn of an atrium that no animal can have, nor of a root of nothing', () => {
    expect(flagCodes({ ...cat, measure: { 'la-sax': 251, 'ao-sax': 10 } })).not.toContain(
      'CAT_VERY_LARGE_ATRIUM',
    );
    expect(flagCodes({ ...cat, measure: { 'la-sax': 20, 'ao-sax': 0 } })).not.toContain(
      'CAT_VERY_LARGE_ATRIUM',
    );
  });
  it('needs both sizes in the short axis', () => {
    const input = caseOf({ observe: WET, measure: { 'la-sax': 26, 'ao-sax': 12 } });
    for (const m of input.measurements) if (m.code === 'la-sax') m.view = 'rps-long-4ch';
    expect(interpret(input).flags.map((f) => f.code)).not.toContain('FITS_LEFT_HEART_FAILURE');
  });
  it.each(['la-sax', 'ao-sax'])('does not rest on a ratio of which %s was only computed', (code) => {
    const input = caseOf({ observe: WET, measure: { 'la-sax': 26, 'ao-sax': 12 } });
    for (const m of input.measurements) if (m.code === code) m.source = 'computed';
    expect(interpret(input).flags.map((f) => f.code)).not.toContain('FITS_LEFT_HEART_FAILURE');
  });
  fires('LEFT_HEART_FAILURE_LESS_LIKELY', [
    ['dog at 1.59', { observe: WET, measure: { 'la-sax': 15.9, 'ao-sax': 10 } }],
    ['cat at 1.49', { ...cat, observe: WET, measure: { 'la-sax': 14.9, 'ao-sax': 10 } }],
    ['by eye', { observe: { ...WET, 'la-by-eye': 'not-large' } }],
  ]);
  silent('LEFT_HEART_FAILURE_LESS_LIKELY', [
    ['dog at 1.6', { observe: WET, measure: { 'la-sax': 16, 'ao-sax': 10 } }],
    ['cat at 1.5', { ...cat, observe: WET, measure: { 'la-sax': 15, 'ao-sax': 10 } }],
    ['no distress', { observe: { 'b-lines': 'many-both-sides', 'la-by-eye': 'not-large' } }],
    ['dry lungs', { observe: { ...EFFORT, 'b-lines': 'none', 'la-by-eye': 'not-large' } }],
    ['atrium not known', { observe: WET }],
    ['diuretic not stated', { state: { diuretic24h: null }, observe: { ...WET, 'la-by-eye': 'not-large' } }],
    [
      'a diuretic shrank it',
      { state: { diuretic24h: 'yes' }, observe: { ...WET, 'la-by-eye': 'not-large' } },
    ],
    [
      'one says large and the tape says small',
      { observe: { ...WET, 'la-by-eye': 'large' }, measure: { 'la-sax': 14, 'ao-sax': 10 } },
    ],
    [
      'measured between the limits and small by eye: the tape counts',
      { observe: { ...WET, 'la-by-eye': 'not-large' }, measure: { 'la-sax': 18, 'ao-sax': 10 } },
    ],
    [
      'a ratio that contradicts itself says nothing reassuring',
      { kg: 30, observe: WET, measure: { 'la-sax': 12, 'ao-sax': 24 } },
    ],
  ]);
  fires('CAT_VERY_LARGE_ATRIUM', [['2.0', { ...cat, measure: { 'la-sax': 20, 'ao-sax': 10 } }]]);
  silent('CAT_VERY_LARGE_ATRIUM', [
    ['1.99', { ...cat, measure: { 'la-sax': 19.9, 'ao-sax': 10 } }],
    ['a dog at 2.4', { measure: { 'la-sax': 24, 'ao-sax': 10 } }],
    ['large by eye is not very large', { ...cat, observe: { 'la-by-eye': 'large' } }],
  ]);
});

describe('circulation', () => {
  const FLUID = { 'pericardial-fluid': 'small' };
  fires('TAMPONADE_POSSIBLE', [
    ['small and collapsed', { kg: 30, observe: { ...FLUID, collapse: 'yes' } }],
    [
      'moderate and pale',
      { kg: 30, observe: { 'pericardial-fluid': 'moderate', 'weak-pulses-or-pale': 'yes' } },
    ],
    [
      'large and a wall that folds',
      { kg: 30, observe: { 'pericardial-fluid': 'large', 'wall-collapse': 'yes' } },
    ],
  ]);
  silent('TAMPONADE_POSSIBLE', [
    ['fluid alone', { kg: 30, observe: FLUID }],
    ['no fluid', { kg: 30, observe: { 'pericardial-fluid': 'none', collapse: 'yes' } }],
    ['a cat', { ...cat, observe: { ...FLUID, collapse: 'yes' } }],
  ]);
  fires('TORN_ATRIUM_POSSIBLE', [
    ...['1', '2', '3', '4', '5', '6'].map(
      (grade): Row => [`murmur ${grade}`, { kg: 8, observe: { ...FLUID, 'murmur-grade': grade } }],
    ),
    ['large atrium, no murmur', { kg: 8, observe: { ...FLUID, 'la-by-eye': 'large', 'murmur-grade': '0' } }],
    ['a clot without fluid', { kg: 8, observe: { 'clot-in-sac': 'yes', 'murmur-grade': '4' } }],
    [
      'fluid not known before',
      { kg: 8, observe: { ...FLUID, 'murmur-grade': '4', 'pericardial-fluid-known-before': 'no' } },
    ],
  ]);
  silent('TORN_ATRIUM_POSSIBLE', [
    ['neither murmur nor atrium', { kg: 8, observe: { ...FLUID, 'murmur-grade': '0' } }],
    ['neither fluid nor clot', { kg: 8, observe: { 'murmur-grade': '4', 'clot-in-sac': 'no' } }],
    ['no weight', { kg: null, observe: { ...FLUID, 'murmur-grade': '4' } }],
    ['a cat', { ...cat, observe: { ...FLUID, 'murmur-grade': '4' } }],
    [
      'fluid known before',
      { kg: 8, observe: { ...FLUID, 'murmur-grade': '4', 'pericardial-fluid-known-before': 'yes' } },
    ],
  ]);
  fires('CAT_PERICARDIAL_FLUID', [
    ['small', { ...cat, observe: FLUID }],
    ['moderate', { ...cat, observe: { 'pericardial-fluid': 'moderate' } }],
    ['large', { ...cat, observe: { 'pericardial-fluid': 'large' } }],
  ]);
  fires('VOLUME_LACK_POSSIBLE', [
    ['bled', { observe: { 'dry-or-bled': 'yes', 'cavity-closes': 'yes' } }],
    ['dry by the state at scan', { state: { hydration: 'dry' }, observe: { 'cavity-closes': 'yes' } }],
  ]);
  silent('VOLUME_LACK_POSSIBLE', [
    ['not dry', { observe: { 'dry-or-bled': 'no', 'cavity-closes': 'yes' } }],
    ['cavity stays open', { observe: { 'dry-or-bled': 'yes', 'cavity-closes': 'no' } }],
  ]);
  it('a view alone is an echo begun', () => {
    const input = caseOf({ observe: { collapse: 'yes' } });
    input.views = [{ view: 'effusion-sweep', clipId: null, judged: 'received', why: null }];
    const flag = interpret(input).flags.find((f) => f.code === 'COLLAPSE_TREAT_CIRCULATION');
    expect(flag?.data.echoBegun).toBe(true);
  });
});

describe('right heart, duct, outlets, rider', () => {
  const SHAPE = { 'septum-flat': 'yes', 'rv-as-large-as-lv': 'yes' };
  fires('RIGHT_HEART_PRESSURE_LOAD', [
    ['shape and fainting', { observe: { ...SHAPE, fainting: 'yes' } }],
    ['shape and weakness', { observe: { ...SHAPE, 'weak-pulses-or-pale': 'yes' } }],
    ['shape and distress', { observe: { ...SHAPE, ...EFFORT } }],
    ['steep jet and distress', { observe: EFFORT, measure: { 'tr-vmax': 4.4 } }],
  ]);
  silent('RIGHT_HEART_PRESSURE_LOAD', [
    ['a flat septum alone', { observe: { 'septum-flat': 'yes', fainting: 'yes' } }],
    ['a large right ventricle alone', { observe: { 'rv-as-large-as-lv': 'yes', fainting: 'yes' } }],
    ['a steep jet in a well dog', { measure: { 'tr-vmax': 5 } }],
  ]);
  const WORMS = { 'worms-in-right-heart': 'yes' };
  fires('CAVAL_SYNDROME_POSSIBLE', [
    ['collapse', { observe: { ...WORMS, collapse: 'yes' } }],
    ['pale', { observe: { ...WORMS, 'weak-pulses-or-pale': 'yes' } }],
    ['dark urine', { observe: { ...WORMS, 'dark-urine': 'yes' } }],
  ]);
  silent('CAVAL_SYNDROME_POSSIBLE', [['collapse without worms', { observe: { collapse: 'yes' } }]]);
  fires('OPEN_DUCT_POSSIBLE', [
    ['23 months', { ageMonths: 23, observe: { 'murmur-continuous': 'yes' } }],
    ['flow in the duct', { ageMonths: 5, observe: { 'duct-flow': 'yes' } }],
  ]);
  silent('OPEN_DUCT_POSSIBLE', [
    ['24 months', { ageMonths: 24, observe: { 'murmur-continuous': 'yes' } }],
    ['a kitten', { ...cat, ageMonths: 5, observe: { 'murmur-continuous': 'yes' } }],
    ['neither murmur nor flow', { ageMonths: 5, observe: { 'murmur-continuous': 'no' } }],
  ]);
  it('an open duct with distress and dry lungs, or wet lungs in a quiet pup, stays urgent', () => {
    const urgency = (observe: Record<string, string>) =>
      interpret(caseOf({ ageMonths: 5, observe: { 'duct-flow': 'yes', ...observe } })).flags.find(
        (f) => f.code === 'OPEN_DUCT_POSSIBLE',
      )?.urgency;
    expect(urgency(EFFORT)).toBe('urgent');
    expect(urgency({ 'b-lines': 'many-both-sides' })).toBe('urgent');
    expect(urgency(WET)).toBe('emergency');
  });
  fires('STENOSIS_WITH_FAINTING', [
    ['collapse', { observe: { collapse: 'yes' }, measure: { 'ao-vmax': 6 } }],
  ]);
  silent('STENOSIS_WITH_FAINTING', [
    ['no fainting', { measure: { 'ao-vmax': 6 } }],
    ['a wide outlet', { observe: { fainting: 'yes' }, measure: { 'ao-vmax': 2 } }],
  ]);
  silent('ENDOCARDITIS_POSSIBLE', [
    ['no fever', { observe: { 'murmur-new': 'yes', 'valve-lump': 'yes', fever: 'no' } }],
    ['an old murmur', { observe: { 'murmur-new': 'no', 'valve-lump': 'yes', fever: 'yes' } }],
  ]);
  it.each([
    ['ventricular-beats', false, { arrhythmia: 'wide-beats-in-runs' }, {}],
    ['heart-failure', false, { 'ever-in-failure': 'yes' }, {}],
    ['aortic-root-tear', true, { 'aortic-root-tear': 'yes' }, {}],
    ['collapse', true, { collapse: 'yes' }, {}],
    ['pulmonary-hypertension', false, {}, { 'tr-vmax': 4.34 }],
  ] as const)(
    'a horse is not ridden for %s alone; keeping clear of it: %s (Reef 2014, 10.1111/jvim.12340)',
    (reason, stayClear, observe, measure) => {
      const flag = interpret(caseOf({ ...horse, observe, measure })).flags.find(
        (f) => f.code === 'HORSE_NOT_RIDDEN',
      );
      expect(flag?.data).toEqual({ reasons: [reason], stayClear });
    },
  );
  silent('HORSE_NOT_RIDDEN', [
    ['a sound horse', { ...horse, observe: { arrhythmia: 'no', 'ever-in-failure': 'no' } }],
    ['4 × 4.33² is 75.0', { ...horse, measure: { 'tr-vmax': 4.33 } }],
    ['a dog', { observe: { collapse: 'yes' } }],
  ]);
});

describe('rate and rhythm', () => {
  const WEAK = { 'weak-pulses-or-pale': 'yes' };
  const rate = (perMinute: number) => ({ observe: WEAK, measure: { 'heart-rate': perMinute } });
  fires('RHYTHM_WITH_WEAKNESS', [
    ['dog 221', rate(221)],
    ['dog 39', rate(39)],
    ['cat 281', { ...cat, ...rate(281) }],
    ['cat 99', { ...cat, ...rate(99) }],
    ['wide beats and collapse', { observe: { collapse: 'yes', arrhythmia: 'wide-beats-in-runs' } }],
    ['fast and fainting', { observe: { fainting: 'yes' }, measure: { 'heart-rate': 240 } }],
  ]);
  silent('RHYTHM_WITH_WEAKNESS', [
    ['dog 220', rate(220)],
    ['dog 40', rate(40)],
    ['cat 280', { ...cat, ...rate(280) }],
    ['cat 100', { ...cat, ...rate(100) }],
    ['a horse at 24, which is slow and usual', { ...horse, ...rate(24) }],
    [
      'runs of wide beats in a horse are the rider rule',
      { ...horse, observe: { ...WEAK, arrhythmia: 'wide-beats-in-runs' } },
    ],
    ['fast without weakness', { measure: { 'heart-rate': 260 } }],
    ['some arrhythmia', { observe: { ...WEAK, arrhythmia: 'yes' } }],
  ]);
});

describe('a machine that believes to see something only makes the engine ask', () => {
  const machine = (code: 'pericardial-fluid' | 'pleural-fluid' | 'la-clot', value: string) => {
    const input = caseOf({ ...cat, observe: { [code]: value } });
    for (const o of input.observations) o.side = 'machine';
    return input;
  };
  it.each([
    ['pericardial-fluid', 'small'],
    ['pleural-fluid', 'large'],
    ['la-clot', 'smoke'],
  ] as const)('%s: %s', (code, value) => {
    const flags = interpret(machine(code, value)).flags.map(cardOf);
    expect(flags).toHaveLength(1);
    expect(flags[0]).toMatchObject({
      rule: 'look.machine-asks',
      key: `look.machine-asks:${code}`,
      level: 'look',
      urgency: null,
      data: { observation: code },
      observed: [code],
      sources: [{ citation: expect.stringMatching(/^Act-now rules/), status: 'common practice' }],
    });
  });
  it.each([
    ['pericardial-fluid', 'none'],
    ['pleural-fluid', 'not-seen'],
    ['la-clot', 'none'],
  ] as const)('%s: %s asks nothing', (code, value) => {
    expect(interpret(machine(code, value)).flags).toEqual([]);
  });
  it('asks nothing once a person has answered', () => {
    const input = machine('pericardial-fluid', 'small');
    input.observations.push({ id: 'o-person', code: 'pericardial-fluid', value: 'none' });
    expect(interpret(input).flags).toEqual([]);
  });
  it('asks when one of two machine answers sees something', () => {
    const input = machine('pericardial-fluid', 'small');
    input.observations.push({ id: 'o-second', code: 'pericardial-fluid', value: 'none', side: 'machine' });
    expect(interpret(input).flags.map((f) => f.evidence.observationIds)).toEqual([
      ['o-pericardial-fluid', 'o-second'],
    ]);
  });
});
