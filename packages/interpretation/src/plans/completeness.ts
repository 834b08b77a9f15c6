import type { Interpretation, MeasurementCode, ScanAgain, ViewCompleteness, ViewId } from '@chordae/contract';
import { inDistress } from '../act-now/signs';
import type { CaseFacts } from '../case-facts';
import { answered, isDoubtfulView, isSound } from '../case-facts';
import { checksOf } from '../checks';
import { viewsFor } from '../quantity-table';
import type { PlannedMeasurement, PlannedView } from './scan-plans';
import { viewsOf, wantedMeasurements } from './scan-plans';

/** Best state first: one adequate clip of a view is enough, a doubtful one beside it takes nothing away. */
const BEST_FIRST = ['adequate', 'received', 'doubtful', 'not-possible'] as const;

function stateOf(facts: CaseFacts, planned: PlannedView): ViewCompleteness {
  const clips = facts.input.views.filter((v) => v.view === planned.view);
  if (clips.length === 0)
    return { view: planned.view, need: planned.need, state: 'missing', why: null, clipIds: [] };
  // The least of the reasons by text, so that the order in which clips came cannot change the answer.
  const state = BEST_FIRST.find((s) => clips.some((c) => c.judged === s)) ?? 'missing';
  let why: string | null = null;
  for (const c of clips)
    if (c.judged === state && c.why !== null && (why === null || c.why < why)) why = c.why;
  const clipIds: string[] = [];
  for (const { clipId } of clips) if (clipId !== null) clipIds.push(clipId);
  if (clipIds.length > 1) clipIds.sort();
  return { view: planned.view, need: planned.need, state, why, clipIds };
}

type Measured = Interpretation['completeness']['measurements'][number];

function measured(facts: CaseFacts, { code, need }: PlannedMeasurement): Measured {
  const list = facts.readings.get(code) ?? [];
  const sound = list.some((r) => !r.computedOnly && !isDoubtfulView(facts, r.view) && isSound(facts, r));
  const state = list.length === 0 ? 'missing' : sound ? 'there' : 'doubtful';
  return { code, need, present: list.length > 0, state };
}

/** What each view lets one judge (the list of what must be seen, after Thomas et al. 1993). */
const VIEW_CHECKS: Partial<Record<ViewId, readonly string[]>> = {
  'rps-long-4ch': ['left-atrium', 'left-ventricle-size', 'right-heart', 'pericardial-fluid'],
  'rps-long-outflow': ['aortic-outflow', 'walls'],
  'rps-short-papillary': ['left-ventricle-size', 'left-ventricle-function', 'walls', 'right-heart'],
  'rps-short-chordae': ['left-ventricle-size', 'left-ventricle-function'],
  'rps-short-mitral': ['valves'],
  'rps-short-aortic': ['left-atrium', 'atrial-clot'],
  'rps-short-pulmonary': ['pulmonic-outflow', 'pulmonary-pressure', 'ducts-and-shunts'],
  'lap-4ch': ['pulmonary-pressure', 'valves', 'left-ventricle-function'],
  'lap-5ch': ['aortic-outflow'],
  'lcr-base': ['ducts-and-shunts', 'pulmonary-pressure'],
  'subcostal-outflow': ['aortic-outflow'],
  'effusion-sweep': ['pericardial-fluid', 'pleural-fluid'],
  'lung-points': ['lungs'],
  'eq-r-4ch': ['left-atrium', 'left-ventricle-size', 'right-heart'],
  'eq-r-lvot': ['aortic-outflow'],
  'eq-r-rv': ['right-heart', 'pulmonic-outflow'],
  'eq-r-short-papillary': ['left-ventricle-size', 'left-ventricle-function', 'walls'],
  'eq-l-2ch': ['left-atrium', 'valves'],
  'eq-l-lvot': ['aortic-outflow'],
};

/** A breathless or collapsed animal is not asked for more views (and the list comes back when the signs are gone). */
function held(facts: CaseFacts): boolean {
  return (
    inDistress(facts) ||
    answered(facts, 'breathing-effort', 'yes') !== null ||
    answered(facts, 'collapse', 'yes') !== null ||
    answered(facts, 'weak-pulses-or-pale', 'yes') !== null
  );
}

function again(
  view: ViewCompleteness,
  wanted: readonly Measured[],
  notAssessed: ReadonlySet<string>,
): ScanAgain[] {
  if (view.state !== 'missing' && view.state !== 'doubtful') return [];
  const measurements: MeasurementCode[] = wanted
    .filter((m) => m.state !== 'there' && viewsFor(m.code)[0] === view.view)
    .map((m) => m.code);
  const opens = (VIEW_CHECKS[view.view] ?? []).filter((c) => notAssessed.has(c));
  return [{ view: view.view, need: view.need, state: view.state, why: view.why, measurements, opens }];
}

/** Needed before helpful, then what opens most checks, then what gives most measurements, then the order of the plan. */
function mostUsefulFirst(a: ScanAgain, b: ScanAgain): number {
  if (a.need !== b.need) return a.need === 'must' ? -1 : 1;
  return b.opens.length - a.opens.length || b.measurements.length - a.measurements.length;
}

/** Per view and per measurement of the scan plan: there, doubtful or missing; what to scan again; what can be said without it. */
export function completenessOf(facts: CaseFacts, checks = checksOf(facts)): Interpretation['completeness'] {
  const { plan } = facts.input;
  const views = viewsOf(plan).map((planned) => stateOf(facts, planned));
  const measurements = wantedMeasurements(plan, facts.species).map((m) => measured(facts, m));
  const notAssessed = new Set(checks.notAssessed);
  const open = views.flatMap((v) => again(v, measurements, notAssessed)).sort(mostUsefulFirst);
  const distress = open.length > 0 && held(facts);
  return {
    views,
    measurements,
    again: distress ? [] : open,
    againHeld: distress ? 'distress' : null,
    withoutIt: checks.could,
  };
}
