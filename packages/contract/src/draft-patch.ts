import { z } from 'zod';
import { revision } from './ids';

/**
 * One mechanism for autosave, two people on one draft, and merging after time without a network:
 * fields changed since `base` by somebody else are not overwritten but come back as conflicts, with both values.
 */
export function patchOf<T extends z.ZodRawShape>(shape: T) {
  return z.object({ base: revision, fields: z.object(shape).partial().strict() });
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
});
export type PatchReply = z.infer<typeof patchReply>;
