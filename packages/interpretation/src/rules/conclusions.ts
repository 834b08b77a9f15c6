import type { Flag, Interpretation } from '@chordae/contract';
import type { CaseFacts } from '../case-facts';
import { catFlags } from './cat';
import { catStages } from './cat-stages';
import { dilatedFlags, dilatedStages } from './dilated';
import { lungFlags } from './lungs';
import { mitralFlags, mitralScoreStage, mitralStages } from './mitral';
import { outflowFlags } from './outflow';
import type { Found } from './outside-limits';
import { outsideLimitFlags } from './outside-limits';
import { pulmonaryPressureStages } from './pulmonary-pressure';

/** Flags drawn from indices and findings, after the contradictions, one subject after the other. */
export function conclusionFlags(facts: CaseFacts, found: Found): Flag[] {
  return [
    ...mitralFlags(facts, found),
    ...catFlags(facts, found),
    ...outsideLimitFlags(facts, found),
    ...outflowFlags(facts, found),
    ...dilatedFlags(facts, found),
    ...lungFlags(facts),
  ];
}

/** Stages and scores that apply. */
export function stagesOf(facts: CaseFacts, found: Found): Interpretation['stages'] {
  return [
    ...mitralStages(facts, found),
    ...mitralScoreStage(facts, found),
    ...dilatedStages(facts, found),
    ...pulmonaryPressureStages(facts, found),
    ...catStages(facts, found),
  ];
}
