import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import type { CaseParts } from '../testing/case-builder';
import { caseOf } from '../testing/case-builder';

const actNow = (parts: CaseParts) => interpret(caseOf(parts)).flags.filter((f) => f.level === 'act-now');
const codes = (parts: CaseParts): string[] => actNow(parts).map((f) => f.code);
const one = (parts: CaseParts, code: string) => actNow(parts).find((f) => f.code === code);

const cat: CaseParts = { species: 'cat' };
const LARGE_LA = { 'la-sax': 24, 'ao-sax': 12 };

/** Each rule: its trigger, and its twin, which lacks one thing and must stay silent. Urgency as in the act-now table. */
const ROWS: { code: string; urgency: string; trigger: CaseParts; twin: CaseParts }[] = [
  {
    code: 'BREATHLESS_STOP_SCANNING',
    urgency: 'emergency',
    trigger: { observe: { 'blue-gums': 'yes' } },
    twin: { observe: { 'blue-gums': 'no' } },
  },
  {
    code: 'BREATHLESS_STOP_SCANNING',
    urgency: 'emergency',
    trigger: { observe: { 'breathing-effort': 'yes' }, measure: { 'breathing-rate': 61 } },
    twin: { observe: { 'breathing-effort': 'yes' }, measure: { 'breathing-rate': 60 } },
  },
  {
    code: 'COLLAPSE_TREAT_CIRCULATION',
    urgency: 'emergency',
    trigger: { observe: { collapse: 'yes' } },
    twin: { observe: { fainting: 'yes' } },
  },
  {
    code: 'TAMPONADE_POSSIBLE',
    urgency: 'emergency',
    trigger: { kg: 32, observe: { 'pericardial-fluid': 'moderate', 'wall-collapse': 'yes' } },
    twin: { kg: 32, observe: { 'pericardial-fluid': 'moderate', 'wall-collapse': 'no' } },
  },
  {
    code: 'TORN_ATRIUM_POSSIBLE',
    urgency: 'emergency',
    trigger: { kg: 14.9, observe: { 'pericardial-fluid': 'small', 'murmur-grade': '4' } },
    twin: { kg: 15, observe: { 'pericardial-fluid': 'small', 'murmur-grade': '4' } },
  },
  {
    code: 'CAT_PERICARDIAL_FLUID',
    urgency: 'urgent',
    trigger: { ...cat, observe: { 'pericardial-fluid': 'small' } },
    twin: { ...cat, observe: { 'pericardial-fluid': 'none' } },
  },
  {
    code: 'CAT_PERICARDIAL_FLUID',
    urgency: 'emergency',
    trigger: { ...cat, observe: { 'pericardial-fluid': 'small', 'cannot-lie': 'yes' } },
    twin: { observe: { 'pericardial-fluid': 'small', 'cannot-lie': 'yes' } },
  },
  {
    code: 'ORGAN_IN_SAC_NO_NEEDLE',
    urgency: 'urgent',
    trigger: { ...cat, observe: { 'organ-in-sac': 'yes' } },
    twin: { ...cat, observe: { 'organ-in-sac': 'not-seen' } },
  },
  {
    code: 'PLEURAL_FLUID_WITH_EFFORT',
    urgency: 'emergency',
    trigger: { ...cat, observe: { 'pleural-fluid': 'large', 'breathing-effort': 'yes' } },
    twin: { ...cat, observe: { 'pleural-fluid': 'large', 'breathing-effort': 'no' } },
  },
  {
    code: 'FITS_LEFT_HEART_FAILURE',
    urgency: 'emergency',
    trigger: { observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides' }, measure: LARGE_LA },
    twin: {
      observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides' },
      measure: { 'la-sax': 23, 'ao-sax': 12 },
    },
  },
  {
    code: 'FITS_LEFT_HEART_FAILURE',
    urgency: 'emergency',
    trigger: {
      ...cat,
      observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides' },
      measure: { 'la-long': 18.6 },
    },
    twin: {
      ...cat,
      observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides' },
      measure: { 'la-long': 18.5 },
    },
  },
  {
    code: 'LEFT_HEART_FAILURE_LESS_LIKELY',
    urgency: 'emergency',
    trigger: {
      observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides', 'la-by-eye': 'not-large' },
    },
    twin: {
      state: { diuretic24h: 'yes' },
      observe: { 'breathing-effort': 'yes', 'b-lines': 'many-both-sides', 'la-by-eye': 'not-large' },
    },
  },
  {
    code: 'LUNG_NOT_SLIDING',
    urgency: 'emergency',
    trigger: {
      observe: {
        'open-mouth-breathing': 'yes',
        'b-lines': 'none',
        'pleural-fluid': 'none',
        'lung-sliding': 'no',
      },
    },
    twin: {
      observe: {
        'open-mouth-breathing': 'yes',
        'b-lines': 'none',
        'pleural-fluid': 'none',
        'lung-sliding': 'yes',
      },
    },
  },
  {
    code: 'THROMBOEMBOLISM_POSSIBLE',
    urgency: 'emergency',
    trigger: { ...cat, observe: { 'sudden-paralysis': 'yes' } },
    twin: { ...cat, observe: { 'sudden-paralysis': 'no' } },
  },
  {
    code: 'CLOT_OR_SMOKE_IN_ATRIUM',
    urgency: 'urgent',
    trigger: { ...cat, observe: { 'la-clot': 'smoke' } },
    twin: { ...cat, observe: { 'la-clot': 'none' } },
  },
  {
    code: 'CAT_VERY_LARGE_ATRIUM',
    urgency: 'urgent',
    trigger: { ...cat, measure: { 'la-sax': 20, 'ao-sax': 10 } },
    twin: { ...cat, measure: { 'la-sax': 19.9, 'ao-sax': 10 } },
  },
  {
    code: 'RIGHT_HEART_PRESSURE_LOAD',
    urgency: 'emergency',
    trigger: { observe: { fainting: 'yes' }, measure: { 'tr-vmax': 4.34 } },
    twin: { observe: { fainting: 'yes' }, measure: { 'tr-vmax': 4.33 } },
  },
  {
    code: 'RIGHT_HEART_PRESSURE_LOAD',
    urgency: 'emergency',
    trigger: { observe: { fainting: 'yes', 'septum-flat': 'yes', 'rv-as-large-as-lv': 'yes' } },
    twin: { observe: { 'septum-flat': 'yes', 'rv-as-large-as-lv': 'yes' } },
  },
  {
    code: 'CAVAL_SYNDROME_POSSIBLE',
    urgency: 'emergency',
    trigger: { observe: { 'worms-in-right-heart': 'yes', 'dark-urine': 'yes' } },
    twin: { observe: { 'worms-in-right-heart': 'yes' } },
  },
  {
    code: 'RHYTHM_WITH_WEAKNESS',
    urgency: 'emergency',
    trigger: { observe: { 'weak-pulses-or-pale': 'yes' }, measure: { 'heart-rate': 221 } },
    twin: { observe: { 'weak-pulses-or-pale': 'yes' }, measure: { 'heart-rate': 220 } },
  },
  {
    code: 'RHYTHM_WITH_WEAKNESS',
    urgency: 'emergency',
    trigger: { ...cat, observe: { 'weak-pulses-or-pale': 'yes' }, measure: { 'heart-rate': 99 } },
    twin: { ...cat, observe: { 'weak-pulses-or-pale': 'yes' }, measure: { 'heart-rate': 100 } },
  },
  {
    code: 'OPEN_DUCT_POSSIBLE',
    urgency: 'urgent',
    trigger: { ageMonths: 5, observe: { 'murmur-continuous': 'yes' } },
    twin: { ageMonths: 60, observe: { 'murmur-continuous': 'yes' } },
  },
  {
    code: 'STENOSIS_WITH_FAINTING',
    urgency: 'urgent',
    trigger: { observe: { fainting: 'yes' }, measure: { 'ao-vmax': 5.71 } },
    twin: { observe: { fainting: 'yes' }, measure: { 'ao-vmax': 5.7 } },
  },
  {
    code: 'STENOSIS_WITH_FAINTING',
    urgency: 'urgent',
    trigger: { observe: { fainting: 'yes' }, measure: { 'pa-vmax': 4.48 } },
    twin: { observe: { fainting: 'yes' }, measure: { 'pa-vmax': 4.47 } },
  },
  {
    code: 'ENDOCARDITIS_POSSIBLE',
    urgency: 'urgent',
    trigger: { observe: { fever: 'yes', 'murmur-new': 'yes', 'valve-lump': 'yes' } },
    twin: { observe: { fever: 'yes', 'murmur-new': 'yes' } },
  },
  {
    code: 'HORSE_NOT_RIDDEN',
    urgency: 'urgent',
    trigger: {
      species: 'horse',
      breed: null,
      kg: 510,
      plan: 'horse',
      observe: { arrhythmia: 'wide-beats-in-runs' },
    },
    twin: { species: 'horse', breed: null, kg: 510, plan: 'horse', observe: { arrhythmia: 'yes' } },
  },
];

describe('act-now rules', () => {
  it.each(ROWS)(
    '$code ($urgency) fires on its trigger and not on its twin',
    ({ code, urgency, trigger, twin }) => {
      expect(one(trigger, code)?.urgency).toBe(urgency);
      expect(one(twin, code)).toBeUndefined();
    },
  );

  it.each(ROWS)('$code is not held back by doubtful pictures', ({ code, trigger }) => {
    const input = caseOf(trigger);
    input.views = [...new Set(input.measurements.map((m) => m.view))].flatMap((view) =>
      view === null ? [] : [{ view, clipId: null, judged: 'doubtful' as const, why: 'oblique' }],
    );
    input.views.push({ view: 'effusion-sweep', clipId: null, judged: 'doubtful', why: 'gain' });
    expect(interpret(input).flags.map((f) => f.code)).toContain(code);
  });

  it.each(ROWS)('$code does not fire from picture computing alone', ({ code, trigger }) => {
    const input = caseOf(trigger);
    for (const m of input.measurements) m.source = 'computed';
    for (const o of input.observations) o.side = 'machine';
    expect(interpret(input).flags.map((f) => f.code)).not.toContain(code);
  });

  it('only asks when a machine alone saw fluid', () => {
    const input = caseOf({ observe: { 'pericardial-fluid': 'large' } });
    for (const o of input.observations) o.side = 'machine';
    const { flags } = interpret(input);
    expect(flags.map((f) => f.code)).toEqual(['DO_YOU_SEE_THIS']);
    expect(flags[0]?.urgency).toBeNull();
  });

  it('marks the looks-like-volume-lack picture as a look, not an act-now', () => {
    const { flags } = interpret(
      caseOf({ ...cat, observe: { 'dry-or-bled': 'yes', 'cavity-closes': 'yes' } }),
    );
    expect(flags.map((f) => [f.code, f.level])).toEqual([['VOLUME_LACK_POSSIBLE', 'look']]);
  });

  it('puts a tick with a finding before a finding alone', () => {
    const order = codes({ ...cat, observe: { 'la-clot': 'fixed' }, measure: { 'la-sax': 21, 'ao-sax': 10 } });
    expect(order).toEqual(['CLOT_OR_SMOKE_IN_ATRIUM', 'CAT_VERY_LARGE_ATRIUM']);
  });

  it('gives a cat none of the dog rules on fluid and a dog none of the cat rule', () => {
    const observe = { 'pericardial-fluid': 'moderate', collapse: 'yes' };
    expect(codes({ ...cat, observe })).not.toContain('TAMPONADE_POSSIBLE');
    expect(codes({ kg: 30, observe })).not.toContain('CAT_PERICARDIAL_FLUID');
  });

  it('tells the failure rule that tamponade is possible, so that its text changes', () => {
    const flag = one(
      {
        kg: 30,
        observe: {
          'pericardial-fluid': 'moderate',
          collapse: 'yes',
          'breathing-effort': 'yes',
          'b-lines': 'many-both-sides',
          'la-by-eye': 'large',
        },
      },
      'FITS_LEFT_HEART_FAILURE',
    );
    expect(flag?.data.tamponadePossible).toBe(true);
  });

  it('keeps the warning of an outlier up while it is questioned', () => {
    const { flags, indices } = interpret(caseOf({ ...cat, measure: { 'la-sax': 38, 'ao-sax': 7 } }));
    expect(flags.map((f) => f.code)).toEqual(
      expect.arrayContaining(['LA_AO_IMPLAUSIBLE', 'CAT_VERY_LARGE_ATRIUM']),
    );
    expect(indices.map((i) => i.code)).not.toContain('la-ao');
  });

  it('grades nothing while the rhythm itself is the emergency', () => {
    const r = interpret(
      caseOf({ observe: { collapse: 'yes' }, measure: { 'heart-rate': 250, lvidd: 33, lvids: 30 } }),
    );
    expect(r.indices.map((i) => i.position)).toEqual(r.indices.map(() => 'not-graded'));
  });
});
