import type { Flag, MeasurementCode } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { isSound, reading, usableWeightKg } from '../case-facts';
import { referenceSizeFor } from '../limits/apply-limit';
import { makeFlag } from '../make-flag';
import { possibleRange, unitOf } from '../quantity-table';
import { wavesFused } from '../recipes/doppler';
import { weightSlipFlags } from './weight-slip';

/** Share of the expected size outside which no heart of that weight lies: the widest disease is within, a slip of ten is not. */
const IMPOSSIBLE = { low: 0.3, high: 3.3 };
/** A systolic cavity can close almost completely. */
const IMPOSSIBLE_SYSTOLIC = { low: 0.13, high: 4.5 };

/** Middle of the printed ranges for cats, mm (Ware, Table 2.2): weight matters little between 2 and 8 kg. */
const CAT_MIDDLE: Partial<Record<MeasurementCode, number>> = {
  lvidd: 15,
  lvids: 7.5,
  ivsd: 4.5,
  ivss: 7.5,
  lvwd: 4.5,
  lvws: 7.5,
  'wall-max-d': 4.5,
  'ao-sax': 9.5,
  'la-sax': 12,
  'la-long': 14,
};

function expectedMm(facts: CaseFacts, code: MeasurementCode): number | null {
  if (facts.species === 'cat') return CAT_MIDDLE[code] ?? null;
  if (facts.species !== 'dog' || facts.kg === null) return null;
  const index =
    code === 'ao-sax' ? 'ao-m-mode' : code === 'la-sax' || code === 'la-long' ? 'la-m-mode' : code;
  return referenceSizeFor(facts, index)?.mean ?? null;
}

function setAside(facts: CaseFacts, ids: string[], why: string): void {
  for (const id of ids) facts.setAside.set(id, why);
}

/** The likeliest slip: a velocity typed in cm/s, a size in tenths of a millimetre. */
function likelyValue(facts: CaseFacts, m: CaseFacts['input']['measurements'][number]): number | null {
  const { min, max } = possibleRange(m.code);
  const hundredth = m.value / 100;
  if (m.unit === 'm/s') return hundredth >= min && hundredth <= max ? hundredth : null;
  const expected = expectedMm(facts, m.code);
  const share = expected === null ? 0 : m.value / 10 / expected;
  return share >= 0.5 && share <= 2.3 ? m.value / 10 : null;
}

/** Values that no animal can have, or that are no number. */
function impossibleValues(facts: CaseFacts): Flag[] {
  const found = facts.input.measurements.filter((m) => {
    const { min, max } = possibleRange(m.code);
    // NaN fails both comparisons.
    return m.unit !== unitOf(m.code) || !(m.value >= min && m.value <= max);
  });
  found.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  return found.map((m) => {
    const { min, max } = possibleRange(m.code);
    const wrongUnit = m.unit !== unitOf(m.code);
    facts.setAside.set(m.id, 'VALUE_IMPOSSIBLE');
    const likely = wrongUnit ? null : likelyValue(facts, m);
    return makeFlag({
      rule: 'check.value',
      subject: m.id,
      code: wrongUnit ? 'UNIT_WRONG_FOR_QUANTITY' : 'VALUE_IMPOSSIBLE',
      level: 'look',
      data: {
        measurement: m.code,
        value: Number.isFinite(m.value) ? m.value : null,
        unit: m.unit,
        min,
        max,
        likely,
      },
      measurementIds: [m.id],
    });
  });
}

/** A size that the weight cannot have; a factor of ten is proposed where it brings the value home. */
function impossibleForWeight(facts: CaseFacts): Flag[] {
  const flags: Flag[] = [];
  for (const [code, list] of facts.readings) {
    const expected = expectedMm(facts, code);
    if (expected === null) continue;
    const bounds = code === 'lvids' ? IMPOSSIBLE_SYSTOLIC : IMPOSSIBLE;
    for (const r of list) {
      if (!isSound(facts, r)) continue;
      const share = r.value / expected;
      if (share >= bounds.low && share <= bounds.high) continue;
      const fits = (mm: number): boolean => mm / expected >= 0.5 && mm / expected <= 2.3;
      const likelyMm = fits(r.value * 10) ? r.value * 10 : fits(r.value / 10) ? r.value / 10 : null;
      setAside(facts, r.ids, 'IMPOSSIBLE_FOR_WEIGHT');
      flags.push(
        makeFlag({
          rule: 'check.size-for-weight',
          subject: `${code}:${r.view ?? ''}:${r.method ?? ''}${r.computedOnly ? ':computed' : ''}`,
          code: 'IMPOSSIBLE_FOR_WEIGHT',
          level: 'look',
          data: {
            measurement: code,
            valueMm: r.value,
            expectedMm: expected,
            likelyMm,
            weightKg: facts.kg,
            species: facts.species,
          },
          measurementIds: r.ids,
        }),
      );
    }
  }
  return flags;
}

/** Pairs of which the first can never reach the second. */
const ORDER: readonly { small: MeasurementCode; large: MeasurementCode; code: string }[] = [
  { small: 'lvids', large: 'lvidd', code: 'LVIDS_NOT_BELOW_LVIDD' },
  { small: 'lv-esv', large: 'lv-edv', code: 'ESV_NOT_BELOW_EDV' },
];

function wrongOrder(facts: CaseFacts): Flag[] {
  return ORDER.flatMap(({ small, large, code }) => {
    const s = reading(facts, small);
    const l = reading(facts, large);
    if (!s || !l || s.value < l.value) return [];
    setAside(facts, [...s.ids, ...l.ids], code);
    return [
      makeFlag({
        rule: 'check.order',
        subject: large,
        code,
        level: 'look',
        data: { small: s.value, large: l.value, unit: unitOf(small) },
        measurementIds: [...s.ids, ...l.ids],
      }),
    ];
  });
}

/** A wall that is thinner in systole than in diastole is questioned, not refused: dying muscle does that too. */
function thinnerInSystole(facts: CaseFacts): Flag[] {
  return (
    [
      ['ivsd', 'ivss'],
      ['lvwd', 'lvws'],
    ] as const
  ).flatMap(([d, s]) => {
    const dia = reading(facts, d);
    const sys = reading(facts, s);
    if (!dia || !sys || sys.value >= dia.value) return [];
    return [
      makeFlag({
        rule: 'check.wall-thickens',
        subject: d,
        code: 'WALL_THINNER_IN_SYSTOLE',
        level: 'note',
        data: { measurement: d, diastoleMm: dia.value, systoleMm: sys.value },
        measurementIds: [...dia.ids, ...sys.ids],
      }),
    ];
  });
}

/** LA:Ao below 0.6 or above 5 is a caliper on the wrong structure, or two units (common practice). */
function implausibleRatio(facts: CaseFacts): Flag[] {
  const la = reading(facts, 'la-sax');
  const ao = reading(facts, 'ao-sax');
  if (!la || !ao || ao.value <= 0) return [];
  const ratio = la.value / ao.value;
  if (ratio >= 0.6 && ratio <= 5) return [];
  setAside(facts, [...la.ids, ...ao.ids], 'LA_AO_IMPLAUSIBLE');
  return [
    makeFlag({
      rule: 'check.la-ao',
      code: 'LA_AO_IMPLAUSIBLE',
      level: 'look',
      data: { ratio, laMm: la.value, aoMm: ao.value },
      measurementIds: [...la.ids, ...ao.ids],
    }),
  ];
}

/** The same quantity by 2-D and by M-mode, or on two views, more than a quarter apart. */
function methodsDiffer(facts: CaseFacts): Flag[] {
  const flags: Flag[] = [];
  for (const [code, list] of facts.readings) {
    if (list.length < 2) continue;
    const usable = list.filter((r) => r.value > 0 && isSound(facts, r));
    const first = usable[0];
    const other = usable.find((r) => first && Math.abs(r.value - first.value) > 0.25 * first.value);
    if (!first || !other) continue;
    flags.push(
      makeFlag({
        rule: 'check.methods',
        subject: code,
        code: 'METHODS_DIFFER',
        level: 'look',
        data: {
          measurement: code,
          first: first.value,
          second: other.value,
          firstMethod: first.method,
          secondMethod: other.method,
          firstView: first.view,
          secondView: other.view,
          unit: unitOf(code),
        },
        measurementIds: [...first.ids, ...other.ids],
      }),
    );
  }
  return flags;
}

function fusedWaves(facts: CaseFacts): Flag[] {
  const e = reading(facts, 'mitral-e');
  const a = reading(facts, 'mitral-a');
  const rate = reading(facts, 'heart-rate');
  if (!e || !a || !rate || !wavesFused(facts)) return [];
  return [
    makeFlag({
      rule: 'check.fused-waves',
      code: 'E_A_LIKELY_FUSED',
      level: 'look',
      data: { rate: rate.value },
      measurementIds: [...e.ids, ...a.ids, ...rate.ids],
      sources: [
        {
          citation: 'Petric AD, Rishniw M, Thomas WP. J Vet Cardiol 2012',
          doi: '10.1016/j.jvc.2012.04.004',
          status: 'primary',
        },
      ],
    }),
  ];
}

/** Usual adult weights, kg: outside them the unit is asked for (common practice). */
const USUAL_KG: Partial<Record<CaseFacts['species'], [number, number]>> = {
  dog: [0.7, 110],
  cat: [1, 13],
  horse: [50, 1200],
  ferret: [0.3, 3],
  rabbit: [0.5, 10],
};

function weightChecks(facts: CaseFacts): Flag[] {
  const typed = facts.input.patient.weight?.kg;
  if (typed === undefined) return [];
  const shown = Number.isFinite(typed) ? typed : null;
  if (usableWeightKg(facts.input) === null) {
    return [
      makeFlag({ rule: 'check.weight', code: 'WEIGHT_IMPOSSIBLE', level: 'look', data: { weightKg: shown } }),
    ];
  }
  const usual = USUAL_KG[facts.species];
  const months = facts.input.patient.ageMonths;
  const tooLight = usual !== undefined && typed < usual[0] && (months === null || months >= 12);
  const tooHeavy = usual !== undefined && typed > usual[1];
  if (!usual || (!tooLight && !tooHeavy)) return [];
  const fromLb = typed * 0.45359237;
  const likelyKg = tooHeavy && fromLb >= usual[0] && fromLb <= usual[1] ? fromLb : null;
  return [
    makeFlag({
      rule: 'check.weight',
      code: 'WEIGHT_UNUSUAL',
      level: 'look',
      data: { weightKg: typed, species: facts.species, usualFromKg: usual[0], usualToKg: usual[1], likelyKg },
    }),
  ];
}

/**
 * Contradictions and slips, found before any conclusion. What contradicts is set aside: no index rests on it until a
 * person has answered. A correction is proposed, never applied.
 */
export function contradictionFlags(facts: CaseFacts): Flag[] {
  const hard = [
    ...weightChecks(facts),
    ...impossibleValues(facts),
    ...impossibleForWeight(facts),
    ...wrongOrder(facts),
    ...implausibleRatio(facts),
  ];
  return [
    ...hard,
    ...weightSlipFlags(facts),
    ...methodsDiffer(facts),
    ...thinnerInSystole(facts),
    ...fusedWaves(facts),
  ];
}
