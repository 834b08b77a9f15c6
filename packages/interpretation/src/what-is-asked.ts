import type { InterpretationInput } from '@chordae/contract';
import { factsOf } from './case-facts';
import { missingOf } from './missing';
import { scanPlan, viewsOf, wantedMeasurements } from './plans/scan-plans';

/** A field that is still open for the question: its path, whether the plan must have it, and what it blocks. */
export interface Asked {
  field: string;
  need: 'must' | 'helps';
  blocks: string[];
}

/** Fields still open for this question, most needed first: observations, weight and age, views, measurements, state. */
export function whatIsAsked(input: InterpretationInput): Asked[] {
  const facts = factsOf(input);
  const { plan, state } = input;
  const open: Asked[] = [];
  for (const code of scanPlan(plan).observe) {
    const answered = input.observations.some((o) => o.code === code);
    if (!answered) open.push({ field: `observation.${code}`, need: 'must', blocks: [] });
  }
  for (const { field, blocks } of missingOf(facts)) {
    if (open.some((o) => o.field === field)) continue;
    open.push({ field, need: field.startsWith('patient.weight') ? 'must' : 'helps', blocks });
  }
  const seen = new Set(input.views.map((v) => v.view));
  for (const { view, need } of viewsOf(plan)) {
    if (!seen.has(view)) open.push({ field: `view.${view}`, need, blocks: [] });
  }
  for (const { code, need } of wantedMeasurements(plan, facts.species)) {
    const field = `measurement.${code}`;
    if (!facts.readings.has(code) && !open.some((o) => o.field === field))
      open.push({ field, need, blocks: [] });
  }
  for (const key of ['diuretic24h', 'fluids24h', 'hydration', 'rhythm', 'bodyCondition'] as const) {
    if (state[key] === null) open.push({ field: `state.${key}`, need: 'helps', blocks: [] });
  }
  return open.sort((a, b) => (a.need === b.need ? 0 : a.need === 'must' ? -1 : 1));
}
