import type { Flag } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { makeFlag } from '../make-flag';
import { breathingRules } from './breathing';
import { circulationRules } from './circulation';
import { heartRules } from './heart';
import { rhythmRule } from './rhythm';
import { signsOf } from './signs';
import { ACT_NOW_SOURCE } from './thresholds';

/** A machine that believes to see fluid or a clot only makes the engine ask. */
function machineAsks(facts: CaseFacts): Flag[] {
  const asked = (['pericardial-fluid', 'pleural-fluid', 'la-clot'] as const).filter((code) => {
    const list = facts.answers.get(code) ?? [];
    return (
      list.length > 0 &&
      list.every((a) => a.machineOnly) &&
      list.some((a) => a.value !== 'none' && a.value !== 'not-seen')
    );
  });
  return asked.map((code) =>
    makeFlag({
      rule: 'look.machine-asks',
      subject: code,
      code: 'DO_YOU_SEE_THIS',
      level: 'look',
      data: { observation: code },
      observationIds: (facts.answers.get(code) ?? []).map((a) => a.id),
      sources: [ACT_NOW_SOURCE],
    }),
  );
}

/**
 * The act-now rules (shared design: act-now table). They rest on what people ticked and measured, are never held back
 * by doubtful pictures and never fire from a picture's computing alone. None says that there is no emergency.
 */
export function actNowFlags(facts: CaseFacts): Flag[] {
  const signs = signsOf(facts);
  return [
    ...breathingRules(facts, signs),
    ...circulationRules(facts, signs),
    ...heartRules(facts, signs),
    ...rhythmRule(facts),
    ...machineAsks(facts),
  ];
}
