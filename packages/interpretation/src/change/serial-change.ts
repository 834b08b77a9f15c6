import type { IndexChange, ScanNumbers, SerialChange, SerialFinding } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { allAnswered, answered, factsOf } from '../case-facts';
import type { Index } from '../indices';
import { indicesOf, recipes } from '../recipes/index';
import { contradictionFlags } from '../rules/contradictions';
import { repeatability, Z95 } from '../uncertainty';

interface Prepared {
  scan: ScanNumbers;
  facts: CaseFacts;
  indices: Map<string, Index>;
}

function prepare(scan: ScanNumbers): Prepared {
  const facts = factsOf(scan.input);
  contradictionFlags(facts);
  return { scan, facts, indices: new Map(indicesOf(facts).map((i) => [i.code, i])) };
}

const cvKey = new Map(recipes.flatMap((r) => (r.cv === undefined ? [] : [[r.code, r.cv] as const])));

/** CV in percent: between operators where they differ or are not known, if such a value was published. */
function cvOf(now: Index, facts: CaseFacts, operators: IndexChange['operators']): number | null {
  const key = cvKey.get(now.code);
  const own = key === undefined ? null : repeatability(facts.species, key);
  if (own) return operators === 'same' ? own.cvPercent : (own.betweenCvPercent ?? own.cvPercent);
  if (now.interval === null || now.value === 0) return null;
  return (100 * (now.interval[1] - now.interval[0])) / (2 * Z95 * Math.abs(now.value));
}

function operatorsOf(a: ScanNumbers, b: ScanNumbers): IndexChange['operators'] {
  if (a.operator === null || b.operator === null) return 'unknown';
  return a.operator === b.operator ? 'same' : 'different';
}

/** Why two values of one index are no pair: other views, other methods, or a state in which it is not graded. */
function notAPair(now: Index, then: Index): string | null {
  for (const [i, r] of now.readings.entries()) {
    const other = then.readings[i];
    if (!other || r.code !== other.code) return 'OTHER_MEASUREMENT';
    if (r.view !== other.view) return 'OTHER_VIEW';
    if (r.method !== other.method) return 'OTHER_METHOD';
  }
  const barred = [...now.cautions, ...then.cautions].find(
    (c) => c.code.startsWith('FUNCTION_NOT_GRADED') || c.code === 'NOT_GRADED_EXTREME_RATE',
  );
  return barred ? 'STATE_FORBIDS' : null;
}

/** What says how a companion finding was measured: the two kinds of test must be known and the same, the two methods not known to differ. */
function otherTest(now: Prepared, then: Prepared, index: Index): string | null {
  const said = (of: Prepared, code: 'nt-probnp-assay' | 'pressure-method') =>
    of.facts.answers.get(code)?.find((a) => !a.machineOnly)?.value ?? null;
  if (index.code === 'nt-probnp') {
    const [a, b] = [said(now, 'nt-probnp-assay'), said(then, 'nt-probnp-assay')];
    return a !== null && a === b && a !== 'unknown' && a !== 'other' ? null : 'OTHER_ASSAY';
  }
  if (index.code !== 'systolic-pressure') return null;
  const [a, b] = [said(now, 'pressure-method'), said(then, 'pressure-method')];
  return a !== null && b !== null && a !== b ? 'OTHER_METHOD' : null;
}

/** States at scan that move this kind of index and differ between the two scans. */
function stateCautions(now: Prepared, then: Prepared, index: Index): IndexChange['cautions'] {
  const a = now.scan.input.state;
  const b = then.scan.input.state;
  const out: IndexChange['cautions'] = [];
  const differs = (field: 'sedative' | 'diuretic24h' | 'hydration' | 'rhythm'): void => {
    if (a[field] !== b[field])
      out.push({ code: 'STATE_DIFFERS', data: { field, now: a[field], earlier: b[field] } });
  };
  differs('sedative');
  if (index.code.startsWith('la-') || index.code === 'pv-pa') differs('diuretic24h');
  differs('hydration');
  differs('rhythm');
  const kgNow = now.facts.kg;
  const kgThen = then.facts.kg;
  const share = kgNow !== null && kgThen !== null ? Math.abs(kgNow - kgThen) / kgThen : 0;
  if (share >= WEIGHT_SHARE)
    out.push({
      code: index.unit.includes('kg^') || index.unit.endsWith('/m2') ? 'WEIGHT_ENTERS' : 'WEIGHT_DIFFERS',
      data: { nowKg: kgNow, thenKg: kgThen },
    });
  return out;
}

/** A weight change from which it is said beside a comparison (common practice). */
const WEIGHT_SHARE = 0.05;

function changeOf(now: Prepared, then: Prepared, against: 'last' | 'first', index: Index): IndexChange[] {
  const before = then.indices.get(index.code);
  if (!before) return [];
  const operators = operatorsOf(now.scan, then.scan);
  const cv = cvOf(index, now.facts, operators);
  const mean = (Math.abs(index.value) + Math.abs(before.value)) / 2;
  const smallest = cv === null ? null : (2.77 * mean * cv) / 100;
  const difference = index.value - before.value;
  const noPair = notAPair(index, before) ?? otherTest(now, then, index);
  const told = smallest !== null && Math.abs(difference) > smallest;
  const cautions = [
    ...(noPair ? [{ code: noPair, data: { index: index.code } }] : []),
    ...(smallest === null ? [{ code: 'REPEATABILITY_NOT_KNOWN', data: { index: index.code } }] : []),
    ...stateCautions(now, then, index),
  ];
  return [
    {
      index: index.code,
      unit: index.unit,
      against,
      earlierOn: then.scan.scannedOn,
      now: index.value,
      earlier: before.value,
      difference,
      smallest,
      verdict: noPair || smallest === null ? 'not-compared' : told ? 'beyond-error' : 'cannot-be-told',
      operators,
      cautions,
    },
  ];
}

/** A cat whose thick walls and failure are gone: the published definition of transient thickening (Novo Matos 2018, 10.1111/jvim.14897). */
function transientThickening(now: Prepared, first: Prepared): SerialFinding[] {
  const wallThen = first.indices.get('wall-max-d');
  const wallNow = now.indices.get('wall-max-d');
  const laThen = first.indices.get('la-ao');
  const laNow = now.indices.get('la-ao');
  if (now.facts.species !== 'cat' || !wallThen || !wallNow || !laThen || !laNow) return [];
  const failedThen =
    answered(first.facts, 'ever-in-failure', 'yes') ??
    answered(first.facts, 'pleural-fluid', 'small', 'moderate', 'large') ??
    answered(first.facts, 'b-lines', 'many-both-sides');
  const dryNow =
    allAnswered(now.facts, 'pleural-fluid', 'none') && allAnswered(now.facts, 'b-lines', 'none', 'few');
  const met =
    wallThen.value >= 6 && wallNow.value < 5.5 && laNow.value < laThen.value && failedThen !== null && dryNow;
  if (!met) return [];
  return [
    {
      code: 'TRANSIENT_THICKENING_DEFINITION_MET',
      data: {
        wallThenMm: wallThen.value,
        wallNowMm: wallNow.value,
        laAoThen: laThen.value,
        laAoNow: laNow.value,
      },
    },
  ];
}

/**
 * Each index of a scan against the last and the first earlier scan (both the same when there is one: then only 'last').
 * A change is one only beyond 2.77 × CV; below that it cannot be told from measuring error.
 */
export function serialChange(now: ScanNumbers, earlier: readonly ScanNumbers[]): SerialChange {
  const past = earlier
    .filter((s) => s.input.patient.species === now.input.patient.species)
    .sort((a, b) => (a.scannedOn < b.scannedOn ? -1 : a.scannedOn > b.scannedOn ? 1 : 0))
    .map(prepare);
  const last = past.at(-1);
  const first = past[0];
  if (!last || !first) return { changes: [], findings: [] };
  const here = prepare(now);
  const changes = [...here.indices.values()].flatMap((index) => [
    ...changeOf(here, last, 'last', index),
    ...(first === last ? [] : changeOf(here, first, 'first', index)),
  ]);
  return { changes, findings: transientThickening(here, first) };
}
