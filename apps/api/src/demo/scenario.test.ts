/** The invented patient with two scans shows both kinds of change: one beyond measuring error, one that cannot be told. */
import type { InterpretationInput, MeasurementCode } from '@chordae/contract';
import { EMPTY_STATE_AT_SCAN } from '@chordae/contract';
import { serialChange } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import scenario from '../../../../shared/demo/scenario.json';
import { dayBefore } from './play-referral';
import type { PatientScript, ReferralScript } from './stage';

const scripts = scenario.referrals as unknown as PatientScript[];

function inputOf(patient: PatientScript, script: ReferralScript): InterpretationInput {
  const { breedCode, breedText, sex, neutered } = patient.patient as never as InterpretationInput['patient'];
  return {
    schema: 1,
    patient: {
      species: 'dog',
      breedCode,
      breedText,
      sex,
      neutered,
      ageMonths: 100,
      weight: script.weight && { kg: script.weight.kg, guessed: false },
    },
    plan: script.plan as InterpretationInput['plan'],
    urgencyAsked: null,
    state: { ...EMPTY_STATE_AT_SCAN, ...script.state },
    measurements: script.measurements.map(([code, value, view, beat], i) => ({
      id: `m${i}`,
      code: code as MeasurementCode,
      value,
      unit: 'mm',
      view: view as never,
      method: '2d',
      beat,
      source: 'typed',
    })),
    observations: [],
    views: [],
  };
}

describe('the second scan of the demo', () => {
  it('is told as changed in the atrium and as not told in the ventricle', () => {
    const twice = scripts.filter((s) => s.earlier);
    expect(twice).toHaveLength(1);
    const [script] = twice;
    if (!script?.earlier) throw new Error('the scenario has no second scan');
    const { changes } = serialChange(
      { scannedOn: '2026-11-26', operator: 'a', input: inputOf(script, script) },
      [{ scannedOn: '2026-05-26', operator: 'a', input: inputOf(script, script.earlier) }],
    );
    const verdict = (index: string) => changes.find((c) => c.index === index)?.verdict;
    expect(verdict('la-ao')).toBe('beyond-error');
    expect(verdict('lviddn')).toBe('cannot-be-told');
    expect(verdict('fs')).toBe('cannot-be-told');
  });

  it('was scanned half a year before, on a day that its month has', () => {
    expect(dayBefore('2026-11-26', 6)).toBe('2026-05-26');
    expect(dayBefore('2026-03-31', 6)).toBe('2025-09-28');
    expect(dayBefore('2026-01-15', 12)).toBe('2025-01-15');
  });
});
