/** Grades and scores at and around the printed edges; each row names its source. */

import { readFileSync } from 'node:fs';
import type { Interpretation } from '@chordae/contract';
import { gradientMmHg, interpret, scorePoints, scoreSeverity } from '@chordae/interpretation';
import { describe, expect, it } from 'vitest';
import { caseOf } from './case-of';
import { goldenRows } from './golden';

interface Row {
  id: string;
  input: Record<string, number | string>;
  expected: Record<string, unknown>;
  source: string;
  note: string;
}

const rows = goldenRows<Row>('classifications.json');
const row = (id: string): Row => {
  const found = rows.find((r) => r.id === id);
  if (!found) throw new Error(`no golden row ${id}`);
  return found;
};
type Band = { from2: number; above3: number; above4?: number };
const score = JSON.parse(
  readFileSync(new URL('../../shared/limits/mitral-score.json', import.meta.url), 'utf8'),
) as { points: Record<string, Band> };

const COMPONENT: Record<string, string> = { 'LA/Ao': 'la-ao', LVIDDN: 'lviddn', FS: 'fs', E: 'mitral-e' };

describe('mitral severity score (Vezzosi 2021, 10.1111/jvim.16131, Tables 1 and 2)', () => {
  it.each(rows.filter((r) => r.id.startsWith('mine-') && !r.id.startsWith('mine-total')))(
    '$id gives its printed points: $source',
    (r) => {
      const [name, value] = Object.entries(r.input)[0] ?? [];
      const band = score.points[COMPONENT[String(name)] ?? ''];
      if (!band) throw new Error(`no band for ${String(name)}`);
      expect(scorePoints(Number(value), band)).toBe(r.expected.points);
    },
  );

  it.each(rows.filter((r) => r.id.startsWith('mine-total')))('$id has its printed severity: $source', (r) => {
    expect(scoreSeverity(Number(r.input.total))).toBe(String(r.expected.severity).replace(' ', '-'));
  });

  it('puts a value in a gap between printed bands into the higher band', () => {
    const lviddn = score.points.lviddn as Band;
    expect([2.0, 2.01, 2.05, 2.1].map((v) => scorePoints(v, lviddn))).toEqual([2, 3, 3, 3]);
  });
});

const gradeOf = (r: Interpretation, index: string): string | undefined =>
  r.indices.find((i) => i.code === index)?.grades[0]?.code;
const velocity = (mmHg: number): number => Math.sqrt(mmHg / 4);

describe('gradients on their named scales', () => {
  it('sas-eason-65: 65 mmHg is moderate (Eason 2021)', () => {
    const r = interpret(
      caseOf({ measure: { 'ao-vmax': velocity(Number(row('sas-eason-65').input.gradient_mmHg)) } }),
    );
    expect(gradeOf(r, 'ao-gradient')).toBe(row('sas-eason-65').expected.severity);
  });

  // Shared end points: 50 and 80 into the higher band, 130 into the lower ('very severe' is strictly above 130).
  it.each([
    [49.9, 'mild'],
    [50, 'moderate'],
    [79.9, 'moderate'],
    [80, 'severe'],
    [130, 'severe'],
    [130.2, 'very-severe'],
  ])('aortic gradient of %s mmHg is %s (Eason 2021, 10.1016/j.jvc.2021.08.005)', (mmHg, grade) => {
    expect(gradeOf(interpret(caseOf({ measure: { 'ao-vmax': velocity(mmHg) } })), 'ao-gradient')).toBe(grade);
  });

  it('grades the published 3.7 m/s as moderate pulmonic stenosis (Small Animal Radiology and Ultrasound, Fig. 2-118)', () => {
    const r = interpret(caseOf({ measure: { 'pa-vmax': 3.7 } }));
    expect(gradientMmHg(3.7)).toBeCloseTo(54.76, 6);
    expect(gradeOf(r, 'pa-gradient')).toBe('moderate');
  });

  it.each(rows.filter((r) => r.id.startsWith('ph-ware')))(
    '$id: tricuspid velocity on the bands of Ware (p. 31)',
    (r) => {
      const answer = interpret(caseOf({ measure: { 'tr-vmax': Number(r.input.trv_m_s) } }));
      expect(gradeOf(answer, 'tr-vmax')).toBe(r.expected.severity);
    },
  );

  it.each(rows.filter((r) => r.id.startsWith('ph-trpg')))(
    '$id: tricuspid gradient in the groups of Visser 2016',
    (r) => {
      const answer = interpret(caseOf({ measure: { 'tr-vmax': velocity(Number(r.input.trpg_mmHg)) } }));
      expect(gradeOf(answer, 'tr-gradient') ?? 'none').toBe(r.expected.group);
    },
  );
});

describe('edges of feline limits and of a breed row', () => {
  const cat = (measure: Parameters<typeof caseOf>[0]['measure']) =>
    interpret(caseOf({ species: 'cat', measure }));

  it('E.maxWall_mm.5.9 lies in the grey zone, 6.0 is thick, 9.0 is severe (Payne 2013; common practice)', () => {
    const grades = [5, 5.1, 5.9, 6, 8.9, 9].map((mm) => gradeOf(cat({ 'wall-max-d': mm }), 'wall-max-d'));
    expect(grades).toEqual(['normal', 'grey', 'grey', 'thick', 'thick', 'severe']);
    expect(row('E.maxWall_mm.5.9').expected.flag).toBe('grey zone');
  });

  it('E.FS_pct.30 is a risk marker, 31 is not (Payne 2013, 10.1111/jvim.12215)', () => {
    const met = (fs: number): string[] | undefined =>
      cat({ 'wall-max-d': 6.5, lvidd: 16, lvids: 16 * (1 - fs / 100) }).stages[0]?.met;
    expect(met(30)).toContain('fs-30-or-less');
    expect(met(31)).not.toContain('fs-30-or-less');
  });

  it('E.E:A.1.77 is not above the cut-off, 1.78 is (Rohrbaugh 2020, 10.1111/jvim.15777)', () => {
    const flags = (ratio: number): string[] =>
      cat({ 'mitral-e': ratio * 0.5, 'mitral-a': 0.5, 'heart-rate': 160 }).flags.map((f) => f.code);
    expect(flags(1.77)).not.toContain('E_A_HIGH');
    expect(flags(1.78)).toContain('E_A_HIGH');
  });

  const positionOf = (measure: Parameters<typeof caseOf>[0]['measure'], index: string) =>
    cat(measure).indices.find((i) => i.code === index)?.position;

  it('E.NTproBNP_pmolL.46 is not above, 46.1 is; 99 is not above the specific cut-off, E.NTproBNP_pmolL.100 is (Fox 2011)', () => {
    const grade = (pmolL: number) =>
      gradeOf(
        interpret(
          caseOf({
            species: 'cat',
            measure: { 'nt-probnp': pmolL },
            observe: { 'nt-probnp-assay': 'laboratory-number' },
          }),
        ),
        'nt-probnp',
      );
    expect([46, 46.1, 99, 100].map(grade)).toEqual(['not-above', 'above-46', 'above-46', 'above-99']);
    expect(row('E.NTproBNP_pmolL.46').expected.flag).toBe('not above');
  });

  it('E.Eprime_cms.7.3 lies on the normal side, 7.2 does not (Koffas 2006, 10.1111/j.1939-1676.2006.tb02825.x)', () => {
    expect([7.2, 7.3].map((v) => positionOf({ 'e-prime': v }, 'e-prime'))).toEqual(['below', 'within']);
  });

  it('E.AAPSE_mm.2.8 lies on the side of stage C, 2.9 does not (Dutton 2024, 10.1111/jvim.16962)', () => {
    expect([2.8, 2.9].map((v) => positionOf({ aapse: v }, 'aapse'))).toEqual(['below', 'within']);
  });

  it('E.LASr_pct.10.9 was found with embolism, 11 was not (thesis, 23 normal and 21 cats with embolism)', () => {
    expect([10.9, 11].map((v) => positionOf({ 'la-strain': v }, 'la-strain'))).toEqual(['below', 'within']);
  });

  it("dcm-168: an Irish Wolfhound's ESVI of 41.1 ml/m² is above the breed's limit of 41 (CSAIM Table 26.1)", () => {
    const kg = 62;
    const esv = (esvi: number): number => esvi * 0.101 * kg ** (2 / 3);
    const at = (esvi: number): string | undefined =>
      interpret(
        caseOf({ breed: 'irish-wolfhound', kg, plan: 'large-dog-muscle', measure: { 'lv-esv': esv(esvi) } }),
      ).indices.find((i) => i.code === 'esvi')?.position;
    expect(at(Number(row('dcm-168').input.ESVI))).toBe('above');
    expect(at(41)).toBe('within');
  });
});
