/**
 * From measurements, ticks and views to indices, limits, flags, stages, urgency and completeness. Pure: no clock, no
 * randomness, no platform; equal to the last bit in Node, browsers and workers.
 *
 * Terms: a *reading* is the mean over the beats of one quantity on one view by one method; an *index* is a number
 * derived from readings; a *limit* is a published bound with its population and source; a *flag* is what the engine
 * says about the case; *set aside* means that nothing is concluded from a measurement until a person has answered.
 */

export type { CaseFacts } from './case-input';
export { caseInput, standing } from './case-input';
export { differences } from './change/differences';
export { serialChange } from './change/serial-change';
export { whatWouldChange } from './change/what-would-change';
export { checkCodes } from './checks';
export { ENGINE_VERSION } from './engine-version';
export type { EntryProblem, ParsedQuantity } from './entry/parse-quantity';
export { parseQuantity, unitsFor } from './entry/parse-quantity';
export type { ParsedWeight } from './entry/parse-weight';
export { parseWeight } from './entry/parse-weight';
export { canonicalText } from './hash/canonical-text';
export { inputHashOf, numbersHashOf } from './hash/input-hash';
export { sha256Hex } from './hash/sha256';
export { interpret } from './interpret';
export { knownState } from './known-state';
export { referenceSizeMm } from './limits/apply-limit';
export { breeds } from './limits/breeds-data';
export type { Breed, LimitEntry, Repeatability } from './limits/limit-types';
export { limitEntries, limitsCheckedOn, limitsHash, repeatabilityEntries } from './limits/limits-data';
export { missingCodes } from './missing';
export type { Need, PlannedMeasurement, PlannedView, ScanPlan } from './plans/scan-plans';
export { scanPlan, scanPlans, viewsOf, wantedMeasurements } from './plans/scan-plans';
export { possibleRange, quantityCodes, unitOf, viewsFor } from './quantity-table';
export type { QueueItem, QueueReason } from './queue/queue-order';
export { CLINICAL_WORDS, orderKey, queueOrder, queueReasons } from './queue/queue-order';
export { gradientMmHg } from './recipes/doppler';
export { indexUnit, scalingOf } from './recipes/index';
export { dogSurfaceM2 } from './recipes/recipe';
export { scorePoints, scoreSeverity } from './rules/mitral';
export { hypertensionProbability } from './rules/pulmonary-pressure';
export { type BeforeSending, sendingBlockers, urgencyThatStands } from './sending';
export { ratioInterval, shapeInterval, shapeSolve, shapeValue, teichholzMl } from './shape';
export type { Trace } from './trace';
export { traceOf } from './trace';
export {
  measurementCv,
  measurementRepeatability,
  relativeInterval,
  repeatability,
  smallestChange,
} from './uncertainty';
export { higherUrgency, urgencyRank } from './urgency';
export type { Asked } from './what-is-asked';
export { whatIsAsked } from './what-is-asked';
