import type { SourceRef } from '@chordae/contract';
import { actNowThresholds } from '../limits/limits-data';

/** Thresholds of shared/limits/act-now.json: from memory, adjustable by a lead. */
export const thresholds = actNowThresholds;

/** Every act-now rule is drafted from the trade's knowledge and not yet read by a clinician. */
export const ACT_NOW_SOURCE: SourceRef = {
  citation: 'Act-now rules: common practice, to be confirmed by a clinician',
  doi: null,
  status: 'common practice',
};

/** For rules whose threshold is a number from memory. */
export const ACT_NOW_MEMORY: SourceRef = {
  citation: 'Act-now rules: threshold from memory, adjustable, to be confirmed by a clinician',
  doi: null,
  status: 'memory',
};
