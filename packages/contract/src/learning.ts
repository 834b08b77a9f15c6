import { z } from 'zod';
import { id } from './ids';
import { measurementCode } from './measurement-codes';
import { viewId } from './terms';

/** Answered cases a person must have before anything is drawn: fewer say more about the cases than about the hand. */
export const LEARNING_FROM_CASES = 20;

const tally = { adequate: z.int(), doubtful: z.int(), notPossible: z.int(), notJudged: z.int() };
/** What readers made of one view in a quarter of a year, '2026-Q4'. */
export const viewQuarter = z.object({ quarter: z.string(), ...tally });
export const viewLearning = z.object({ view: viewId, ...tally, quarters: z.array(viewQuarter) });
export type ViewLearning = z.infer<typeof viewLearning>;

/** One quantity as the person and the readers measured it in the same cases. */
export const measuredLearning = z.object({
  code: measurementCode,
  /** Pairs of the same quantity, view and beat. */
  pairs: z.int(),
  /** Mean of person minus reader, in per cent of their mean; above 0 the person measured more. */
  meanDifferencePercent: z.number(),
  /** Pairs further apart than 2.77 × CV of their mean; null where no repeatability is known for the species. */
  beyondError: z.int().nullable(),
  /** Pairs for which it is known. */
  comparable: z.int(),
});
export type MeasuredLearning = z.infer<typeof measuredLearning>;

export const learning = z.object({
  answeredCases: z.int(),
  from: z.int(),
  /** Empty until there are enough answered cases. */
  views: z.array(viewLearning),
  measured: z.array(measuredLearning),
});
export type Learning = z.infer<typeof learning>;

/** A person who sends to a group, by name, never by rank. */
export const sender = z.object({ memberId: id, name: z.string(), answeredCases: z.int() });
export type Sender = z.infer<typeof sender>;
