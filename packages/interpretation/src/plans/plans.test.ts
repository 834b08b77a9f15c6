import type { MeasurementCode } from '@chordae/contract';
import { measurementCodes, scanPlanId } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { interpret } from '../interpret';
import { quantityCodes, unitOf } from '../quantity-table';
import { caseOf } from '../testing/case-builder';
import { whatIsAsked } from '../what-is-asked';
import { scanPlans, viewsOf, wantedMeasurements } from './scan-plans';

describe('scan plans', () => {
  it('exist for every question, with views that must be there and no view twice', () => {
    expect(scanPlans.map((p) => p.id)).toEqual(scanPlanId.options);
    for (const { id } of scanPlans) {
      const views = viewsOf(id).map((v) => v.view);
      expect(new Set(views).size).toBe(views.length);
      expect(viewsOf(id).some((v) => v.need === 'must')).toBe(true);
    }
  });

  it('want each quantity once and only where the species has it', () => {
    for (const { id } of scanPlans) {
      const codes = wantedMeasurements(id, 'dog').map((m) => m.code);
      expect(new Set(codes).size).toBe(codes.length);
      expect(codes).not.toContain('wall-max-d');
    }
    expect(wantedMeasurements('cat-before-anaesthesia', 'cat')[0]).toEqual({
      code: 'wall-max-d',
      need: 'must',
    });
  });

  it('use the units of the contract', () => {
    expect([...quantityCodes].sort()).toEqual(Object.keys(measurementCodes).sort());
    for (const code of quantityCodes)
      expect(unitOf(code)).toBe(measurementCodes[code as MeasurementCode].unit);
  });
});

describe('completeness', () => {
  it('takes the best clip of a view and says what is missing', () => {
    const input = caseOf({ measure: { lvidd: 33 } });
    input.views = [
      { view: 'rps-long-4ch', clipId: 'b', judged: 'doubtful', why: 'apex cut off' },
      { view: 'rps-long-4ch', clipId: 'a', judged: 'adequate', why: null },
      { view: 'rps-short-papillary', clipId: 'c', judged: 'doubtful', why: 'oval' },
    ];
    const { completeness } = interpret(input);
    expect(completeness.views[0]).toEqual({
      view: 'rps-long-4ch',
      need: 'must',
      state: 'adequate',
      why: null,
      clipIds: ['a', 'b'],
    });
    expect(completeness.views[1]).toMatchObject({ state: 'doubtful', why: 'oval' });
    expect(completeness.views[2]).toMatchObject({ view: 'rps-short-aortic', state: 'missing' });
    expect(completeness.measurements.filter((m) => m.present).map((m) => m.code)).toEqual(['lvidd']);
  });

  it('says a measurement on a doubtful view is one', () => {
    const input = caseOf({ measure: { lvidd: 33 } });
    input.views = [{ view: 'rps-short-papillary', clipId: 'c', judged: 'doubtful', why: 'oval' }];
    expect(interpret(input).indices[0]?.cautions.map((c) => c.code)).toContain('VIEW_DOUBTFUL');
    // A worse word never takes the caution away.
    input.views.push({ view: 'rps-short-papillary', clipId: 'c', judged: 'not-possible', why: 'dark' });
    expect(interpret(input).indices[0]?.cautions.map((c) => c.code)).toContain('VIEW_DOUBTFUL');
    input.views = input.views.slice(1);
    expect(interpret(input).indices[0]?.cautions.map((c) => c.code)).toContain('VIEW_DOUBTFUL');
  });
});

describe('what to scan again', () => {
  const views = (input: ReturnType<typeof caseOf>) => interpret(input).completeness.again.map((a) => a.view);

  it('puts needed views first, then those that open most checks, and says what they give', () => {
    const { again, withoutIt } = interpret(
      caseOf({ measure: { lvidd: 33 }, observe: { 'murmur-grade': '4' } }),
    ).completeness;
    const firstHelp = again.findIndex((a) => a.need === 'helps');
    expect(again.slice(0, firstHelp).every((a) => a.need === 'must')).toBe(true);
    expect(again.slice(firstHelp).every((a) => a.need === 'helps')).toBe(true);
    expect(again.find((a) => a.view === 'rps-short-aortic')).toMatchObject({
      state: 'missing',
      measurements: ['la-sax', 'ao-sax'],
      opens: ['left-atrium', 'atrial-clot'],
    });
    expect(withoutIt).toContain('murmur');
  });

  it('asks nothing of an animal in distress, and asks again once the signs are gone', () => {
    for (const sign of [
      'open-mouth-breathing',
      'breathing-effort',
      'collapse',
      'weak-pulses-or-pale',
      // The switch of the sheet: the sender's word for it is enough.
      'scanning-stopped',
    ] as const) {
      const { completeness } = interpret(caseOf({ observe: { [sign]: 'yes' } }));
      expect(completeness.again).toEqual([]);
      expect(completeness.againHeld).toBe('distress');
    }
    expect(views(caseOf({ observe: { collapse: 'no' } })).length).toBeGreaterThan(0);
    expect(views(caseOf({ observe: { 'scanning-stopped': 'no' } })).length).toBeGreaterThan(0);
  });

  it('does not ask for a view that was said to be impossible, nor for one that is there', () => {
    const input = caseOf({ measure: {} });
    input.views = [
      { view: 'rps-long-4ch', clipId: 'a', judged: 'received', why: null },
      { view: 'rps-short-aortic', clipId: null, judged: 'not-possible', why: 'panting' },
    ];
    expect(views(input)).not.toContain('rps-long-4ch');
    expect(views(input)).not.toContain('rps-short-aortic');
    expect(views(input)).toContain('rps-short-papillary');
  });

  it('calls a measurement doubtful on a doubtful view, contradicted, or only computed from a picture', () => {
    const stateOf = (input: ReturnType<typeof caseOf>) =>
      interpret(input).completeness.measurements.find((m) => m.code === 'lvidd')?.state;
    const sound = caseOf({ measure: { lvidd: 33, lvids: 20 } });
    expect(stateOf(sound)).toBe('there');
    expect(
      stateOf({
        ...sound,
        views: [{ view: 'rps-short-papillary', clipId: 'c', judged: 'doubtful', why: 'oval' }],
      }),
    ).toBe('doubtful');
    expect(stateOf(caseOf({ measure: { lvidd: 20, lvids: 33 } }))).toBe('doubtful');
    const computed = {
      ...sound,
      measurements: sound.measurements.map((m) => ({ ...m, source: 'computed' as const })),
    };
    expect(stateOf(computed)).toBe('doubtful');
    expect(stateOf(caseOf({ measure: {} }))).toBe('missing');
  });
});

describe('whatIsAsked', () => {
  it('lists what the question must have before what helps, and nothing that was given', () => {
    const asked = whatIsAsked(caseOf({ kg: null, measure: { lvidd: 33 }, observe: { 'murmur-grade': '4' } }));
    const fields = asked.map((a) => a.field);
    expect(fields.slice(0, 2)).toEqual(['observation.ever-in-failure', 'patient.weight']);
    expect(fields).not.toContain('measurement.lvidd');
    expect(fields).not.toContain('observation.murmur-grade');
    const firstHelp = asked.findIndex((a) => a.need === 'helps');
    expect(asked.slice(firstHelp).every((a) => a.need === 'helps')).toBe(true);
    expect(new Set(fields).size).toBe(fields.length);
  });
});
