import type { Interpretation, ViewCompleteness } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { viewsOf, wantedMeasurements } from './scan-plans';

/** Best state first: one adequate clip of a view is enough, a doubtful one beside it takes nothing away. */
const BEST_FIRST = ['adequate', 'received', 'doubtful', 'not-possible'] as const;

function stateOf(
  facts: CaseFacts,
  planned: { view: ViewCompleteness['view']; need: 'must' | 'helps' },
): ViewCompleteness {
  const clips = facts.input.views.filter((v) => v.view === planned.view);
  // The least of the reasons by text, so that the order in which clips came cannot change the answer.
  const state = BEST_FIRST.find((s) => clips.some((c) => c.judged === s)) ?? 'missing';
  const reasons = clips.flatMap((c) => (c.judged === state && c.why !== null ? [c.why] : []));
  const why = reasons.sort()[0] ?? null;
  const clipIds = clips.flatMap((c) => (c.clipId === null ? [] : [c.clipId])).sort();
  return { view: planned.view, need: planned.need, state, why, clipIds };
}

/** Per view and per measurement of the scan plan: there, doubtful or missing. */
export function completenessOf(facts: CaseFacts): Interpretation['completeness'] {
  const { plan } = facts.input;
  return {
    views: viewsOf(plan).map((planned) => stateOf(facts, planned)),
    measurements: wantedMeasurements(plan, facts.species).map(({ code, need }) => ({
      code,
      need,
      present: (facts.readings.get(code) ?? []).length > 0,
    })),
  };
}
