import { z } from 'zod';
import { revision } from './ids';

/**
 * One mechanism for autosave, two people on one draft, and merging after time without a network:
 * fields changed since `base` by somebody else are not overwritten but come back as conflicts, with both values.
 */
export function patchOf<T extends z.ZodRawShape>(shape: T) {
  return z.object({
    base: revision,
    /**
     * Per field, the revision that the person had seen of it where that is not `base`: what stood there after an earlier
     * patch of theirs, or before they typed. So one's own earlier text is no conflict, and what somebody else wrote
     * meanwhile still is.
     */
    bases: z.record(z.string(), revision).optional(),
    fields: z.object(shape).partial().strict(),
  });
}

export const fieldConflict = z.object({
  field: z.string(),
  yours: z.unknown(),
  theirs: z.unknown(),
  by: z.string(),
});
export type FieldConflict = z.infer<typeof fieldConflict>;

export const patchReply = z.object({
  revision,
  applied: z.array(z.string()),
  conflicts: z.array(fieldConflict),
  /** Fields of this patch that now hold the patch's value, with the revision at which each got it. */
  stands: z.record(z.string(), revision),
});
export type PatchReply = z.infer<typeof patchReply>;
