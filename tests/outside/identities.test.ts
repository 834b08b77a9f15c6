/** Formulas against published worked examples and identities; each row names its source. */
import { dogSurfaceM2, gradientMmHg, interpret } from '@chordae/interpretation';
import { beatMs, exactCos, exactPow, framesPerBeat } from '@chordae/units';
import { describe, expect, it } from 'vitest';
import { caseOf } from './case-of';
import { goldenRows } from './golden';

interface Row {
  id: string;
  input: Record<string, number>;
  expected: Record<string, number>;
  tolerance?: number | Record<string, number>;
  source: string;
  note: string;
}

const rows = goldenRows<Row>('identities.json');
const starting = (...prefixes: string[]): Row[] =>
  rows.filter((r) => prefixes.some((p) => r.id.startsWith(p)));
const tolerance = (row: Row): number =>
  typeof row.tolerance === 'number' ? row.tolerance : Math.max(1e-9, ...Object.values(row.tolerance ?? {}));

describe('gradients by 4v²', () => {
  it.each(starting('bern-', 'I.bern.'))('$id: $source', (row) => {
    const velocity = row.input.velocity_m_s ?? row.input.V_mps ?? Number.NaN;
    expect(Math.abs(gradientMmHg(velocity) - (row.expected.gradient_mmHg ?? 0))).toBeLessThanOrEqual(
      tolerance(row),
    );
  });

  it('takes a velocity before the narrowing off: 4·(3² − 2²) = 20 mmHg (Bernoulli teaching example)', () => {
    const [row] = starting('B1');
    expect(gradientMmHg(row?.input.V2_mps ?? 0) - gradientMmHg(row?.input.V1_mps ?? 0)).toBe(
      row?.expected.gradient_mmHg,
    );
  });
});

describe('fractional shortening and surfaces', () => {
  it.each(starting('fs-'))('$id: $source', (row) => {
    const { LVIDd_cm = 0, LVIDs_cm = 0 } = row.input;
    const { indices } = interpret(
      caseOf({ kg: 30, measure: { lvidd: LVIDd_cm * 10, lvids: LVIDs_cm * 10 } }),
    );
    const fs = indices.find((i) => i.code === 'fs')?.value ?? Number.NaN;
    expect(Math.abs(fs - (row.expected.FS_pct ?? 0))).toBeLessThanOrEqual(tolerance(row));
  });

  it('holds with the exponent 0.67 of the worked example, and differs by 0.8 % with the exponent 2/3 that is used here', () => {
    const [row] = starting('bsa-');
    const kg = row?.input.body_weight_kg ?? 0;
    expect((10.1 * exactPow(kg, 0.67)) / 100).toBeCloseTo(row?.expected.BSA_m2 ?? 0, 6);
    expect(dogSurfaceM2(kg)).toBeCloseTo(0.4829, 4);
  });

  it('divides a diameter by the surface as in Vurucu 2021 (6.32)', () => {
    const [row] = starting('lvidd-bsa');
    expect((row?.input.LVIDd_cm ?? 0) / (row?.input.BSA_m2 ?? 1)).toBeCloseTo(row?.expected.ratio ?? 0, 2);
  });
});

describe('geometry and timing', () => {
  it.each(starting('I.ellipse'))('$id: a tilted cut of a tube has the axis ratio cos(tilt)', (row) => {
    const cos = exactCos(((row.input.tilt_deg ?? 0) * Math.PI) / 180);
    expect(cos).toBeCloseTo(row.expected.axisRatio ?? 0, 6);
    expect(1 / cos).toBeCloseTo(row.expected.longAxisOverTrue ?? 0, 6);
  });

  it.each(starting('I.hr'))('$id: frames per beat and beat length by definition', (row) => {
    const rate = row.input.heartRate_bpm ?? 0;
    expect(beatMs(rate)).toBeCloseTo(row.expected.RR_ms ?? 0, 3);
    expect(framesPerBeat(rate, 30)).toBeCloseTo(row.expected['framesPerCycle@30'] ?? 0, 3);
    expect(framesPerBeat(rate, 60)).toBeCloseTo(row.expected['framesPerCycle@60'] ?? 0, 3);
    expect((20 * rate) / 60).toBeCloseTo(row.expected.fpsFor20Frames ?? 0, 3);
  });
});
