/**
 * Code and data to sentences. One folder per language; this file gives the English one. Words are plain, exact, kind:
 * no exclamation marks, no praise, no blame; 'normal' only as 'within the limits of <source>'.
 */

export * from './en/assessment';
export * from './en/cautions';
export * from './en/changes';
export * from './en/completeness';
export * from './en/device';
export * from './en/engine-changes';
export * from './en/errors';
export * from './en/fan-mask';
export * from './en/filmed';
export * from './en/indices';
export * from './en/keeper-page';
export * from './en/learning';
export * from './en/mails';
export * from './en/measuring';
export * from './en/month-account';
export * from './en/names';
export * from './en/numbers';
export * from './en/opinion-proposals';
export * from './en/opinion-sentences';
export * from './en/pasted';
export * from './en/patient-work';
export * from './en/practice-page';
export * from './en/printed-page';
export * from './en/problems';
export * from './en/queue';
export * from './en/referral-states';
export * from './en/say-flag';
export * from './en/scan-report';
export * from './en/sending';
export * from './en/stages';
export * from './en/state-at-scan';
export * from './en/structure-facts';
export * from './en/structure-views';
export * from './en/teaching';
export * from './en/view-examples';
export * from './en/view-guide';

/** The caution that every screen with a computed conclusion carries. */
export const CAUTION_LINE =
  'Decision support for licensed veterinary professionals; not a diagnosis. Stabilise a patient in distress first, and do not wait for an opinion.';
