/**
 * Whole answers of drawn cases as they stand, line by line: nothing here is an outside truth (those are in tests/outside),
 * but a change of any rule, sentence code, evidence or source shows as a line that somebody has to read. Renew with
 * `npx vitest run packages/interpretation/src/answers.test.ts -u` and read the difference.
 */
import type { Flag, Interpretation, MeasurementCode, ObservationCode } from '@chordae/contract';
import { observationCodes } from '@chordae/contract';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { serialChange } from './change/serial-change';
import { sha256Hex } from './hash/sha256';
import { interpret } from './interpret';
import { quantityCodes } from './quantity-table';
import type { CaseParts } from './testing/case-builder';
import { caseOf } from './testing/case-builder';

/** A middle value for each quantity in a small dog, a cat and a horse; draws spread round it. */
const MIDDLE: Partial<Record<MeasurementCode, readonly [dog: number, cat: number, horse: number]>> = {
  lvidd: [30, 15, 110],
  lvids: [18, 8, 70],
  ivsd: [7, 5, 29],
  ivss: [10, 8, 45],
  lvwd: [7, 5, 26],
  lvws: [11, 8, 39],
  'wall-max-d': [7, 6, 30],
  'la-sax': [19, 13, 110],
  'ao-sax': [12, 9.5, 75],
  'la-long': [27, 15, 125],
  'ao-annulus': [13, 8.5, 68],
  epss: [4, 2, 8],
  'lv-edv': [32, 5, 600],
  'lv-esv': [12, 2, 200],
  'lv-length-d': [48, 24, 160],
  'ao-vmax': [1.8, 1.4, 1.2],
  'lvot-vmax': [1.1, 0.9, 1],
  'pa-vmax': [1.6, 1.1, 1.1],
  'tr-vmax': [3.2, 2.6, 3],
  'pr-vmax': [2.2, 1.8, 2],
  'mitral-e': [1.2, 0.8, 0.8],
  'mitral-a': [0.8, 0.6, 0.4],
  ivrt: [50, 60, 80],
  tapse: [9, 8, 30],
  'e-prime': [9, 7.2, 20],
  aapse: [6, 3, 15],
  'la-min-sax': [12, 11, 80],
  'la-m-mode-max': [18, 12, 100],
  'la-m-mode-min': [14, 10, 80],
  'la-volume': [9, 2, 800],
  'laa-vmax': [0.4, 0.25, 0.5],
  'la-strain': [25, 14, 20],
  'pulmonary-vein': [8, 4, 20],
  'pulmonary-artery-beside-vein': [5.5, 4, 20],
  mpa: [13, 8, 65],
  'ao-beside-mpa': [12.5, 8, 65],
  'rpa-max': [8, 5, 30],
  'rpa-min': [5.5, 3.5, 22],
  'rv-area-d': [5, 1, 80],
  'rv-area-s': [3, 0.6, 50],
  's-prime-rv': [9, 8, 20],
  'pa-at': [58, 50, 100],
  'pa-et': [180, 150, 400],
  'duct-vmax': [4.6, 4, 4],
  'systolic-pressure': [150, 165, 110],
  'nt-probnp': [800, 90, 100],
  'vpc-24h': [200, 10, 5],
  'heart-rate': [130, 185, 40],
  'breathing-rate': [45, 50, 14],
  vhs: [10.6, 8, 8],
  rlad: [1.8, 1, 1],
  'd-rvot': [11, 7, 60],
  'vti-rvot': [16, 8, 25],
  'd-lvot': [11, 7, 60],
  'vti-lvot': [10, 8, 25],
  'b-lines-l1': [4, 4, 1],
  'b-lines-l2': [4, 3, 1],
  'b-lines-r1': [5, 4, 1],
  'b-lines-r2': [3, 5, 1],
};

const SPECIES = ['dog', 'cat', 'horse'] as const;
const PLANS = [
  'small-dog-murmur',
  'large-dog-muscle',
  'outflow',
  'right-heart',
  'breeding-screen',
  'breathless',
  'cat-before-anaesthesia',
] as const;
/** Codes, and data of flags, that came after these answers were taken: they have tests of their own (cat-rules.test.ts). */
const LATER: ReadonlySet<string> = new Set([
  'scanning-stopped',
  'pressure-method',
  'nt-probnp-assay',
  't4',
  'potassium',
  'creatinine',
  'packed-cell-volume',
  'sleeping-breathing-rate',
  'pressureMmHg',
  'pressureMethod',
  't4NmolPerL',
]);
const codes = quantityCodes.filter((c) => MIDDLE[c] !== undefined && !LATER.has(c));
const observed = (Object.keys(observationCodes) as ObservationCode[]).filter((code) => !LATER.has(code));

const drawn = fc
  .record({
    species: fc.nat(2),
    breed: fc.constantFrom(null, 'doberman', 'boxer', 'greyhound', 'pug', 'warmblood', 'mixed-breed'),
    kg: fc.option(fc.integer({ min: 30, max: 140 }), { freq: 8 }),
    ageMonths: fc.constantFrom(null, 7, 100),
    plan: fc.constantFrom(...PLANS),
    share: fc.array(fc.integer({ min: 50, max: 170 }), {
      minLength: codes.length,
      maxLength: codes.length,
    }),
    given: fc.array(fc.boolean(), { minLength: codes.length, maxLength: codes.length }),
    answers: fc.dictionary(fc.constantFrom(...observed), fc.nat(6), { maxKeys: 10 }),
    sedative: fc.constantFrom('none' as const, 'none' as const, 'alpha-2' as const, 'opioid' as const, null),
    diuretic24h: fc.constantFrom('yes' as const, 'no' as const, null),
    hydration: fc.constantFrom('normal' as const, 'dry' as const, null),
    rhythm: fc.constantFrom('sinus' as const, 'sinus' as const, 'atrial-fibrillation' as const, null),
    bodyCondition: fc.constantFrom(5, 8, null),
  })
  .map((d): CaseParts => {
    const factor = d.species === 2 ? 4 : 0.1;
    const measure = Object.fromEntries(
      codes.flatMap((code, i) =>
        d.given[i]
          ? [[code, rounded(code, ((MIDDLE[code]?.[d.species] ?? 1) * (d.share[i] as number)) / 100)]]
          : [],
      ),
    );
    const observe = Object.fromEntries(
      Object.entries(d.answers).map(([code, n]) => {
        const { values } = observationCodes[code as ObservationCode];
        return [code, values[n % values.length] as string];
      }),
    );
    return {
      species: SPECIES[d.species] as 'dog',
      breed: d.breed,
      kg: d.kg === null ? null : d.kg * factor,
      ageMonths: d.ageMonths,
      plan: d.plan,
      measure,
      observe,
      state: {
        sedative: d.sedative,
        diuretic24h: d.diuretic24h,
        hydration: d.hydration,
        rhythm: d.rhythm,
        bodyCondition: d.bodyCondition,
      },
    };
  });

/** Counts are whole, everything else keeps two decimals. */
function rounded(code: MeasurementCode, value: number): number {
  return code.startsWith('b-lines') ? Math.round(value) : Math.round(value * 100) / 100;
}

const round = (value: number): number => Number(value.toPrecision(9));
const plain = (value: unknown): string =>
  JSON.stringify(value, (key, v: unknown) =>
    LATER.has(key) ? undefined : typeof v === 'number' ? round(v) : v,
  );

function flagLine(f: Flag): string {
  const { measurementIds: m, observationIds: o, indexCodes: i, limitIds: l } = f.evidence;
  const sources = f.sources.map((s) => `${s.status}|${s.citation.slice(0, 24)}|${s.doi ?? ''}`).join(' & ');
  return `${f.level} ${f.key} v${f.rule.version} ${f.code} ${f.urgency ?? '-'} ${plain(f.data)} m[${m.join()}] o[${o.join()}] i[${i.join()}] l[${l.join()}] ${sources}`;
}

/** An answer in lines. */
function lines(r: Interpretation): string[] {
  return [
    `urgency ${r.urgencyProposed} because ${r.urgencyBecause.join()}`,
    ...r.flags.map(flagLine),
    ...r.indices.map(
      (i) =>
        `index ${i.code} ${round(i.value)} ${i.unit} ${i.position} ${i.closeness ?? '-'} ${plain(i.interval)} b${i.beats.length} g[${i.grades.map((g) => `${g.scale}:${g.code}`).join()}] l[${i.limits.map((l) => `${l.id}${l.comparisonOnly ? '~' : ''}`).join()}] c[${i.cautions.map((c) => `${c.code}${plain(c.data)}`).join()}] ${i.arithmetic}`,
    ),
    ...r.stages.map(
      (s) =>
        `stage ${s.scheme} ${s.code} +[${s.met.join()}] -[${s.unmet.join()}] ?[${s.missing.join()}] ${s.source.status}|${s.source.citation.slice(0, 24)}|${s.source.doi ?? ''}`,
    ),
    ...r.missing.map((m) => `missing ${m.code} ${m.field} [${m.blocks.join()}]`),
    `checks ${r.checks.ran}/${r.checks.of} not ${r.checks.notAssessed.join()}`,
    ...r.completeness.views.map((v) => `view ${v.view} ${v.need} ${v.state}`),
    ...r.completeness.measurements.map((m) => `wanted ${m.code} ${m.need} ${m.state}`),
    ...r.completeness.again.map(
      (a) => `again ${a.view} ${a.state} m[${a.measurements.join()}] c[${a.opens.join()}]`,
    ),
    `held ${r.completeness.againHeld ?? '-'}`,
  ];
}

const sample = fc.sample(drawn, { seed: 20261125, numRuns: 48 });

describe('answers as they stand', () => {
  it.each(sample.map((parts, i) => [i, parts] as const))('case %d', (_i, parts) => {
    expect(lines(interpret(caseOf(parts))).join('\n')).toMatchSnapshot();
  });

  it('a thousand more, one digest for each twenty-five: a change that none of the readable ones shows is seen here', () => {
    const more = fc.sample(drawn, { seed: 20261126, numRuns: 1000 });
    const digests = Array.from({ length: 40 }, (_, n) =>
      sha256Hex(
        more
          .slice(n * 25, n * 25 + 25)
          .flatMap((parts) => lines(interpret(caseOf(parts))))
          .join('\n'),
      ).slice(0, 16),
    );
    expect(digests).toMatchSnapshot();
  });

  it('changes over time', () => {
    const dogs = sample.filter((p) => p.species === 'dog').slice(0, 4);
    const scans = dogs.map((parts, i) => ({
      scannedOn: `2026-0${i + 1}-10`,
      operator: ['a', 'a', 'b', null][i] ?? null,
      input: caseOf(parts),
    }));
    const now = scans[3];
    if (!now) throw new Error('the sample holds too few dogs');
    const { changes, findings } = serialChange(now, scans.slice(0, 3));
    expect([...changes, ...findings].map((c) => plain(c)).join('\n')).toMatchSnapshot();
  });
});
