import { z } from 'zod';

/** A closed outline in pixels of the picture: x and y in turn; pixel n covers n to n + 1. */
export const keepOutline = z
  .array(z.number().min(-20_000).max(100_000))
  .min(6)
  .max(256)
  .refine((points) => points.length % 2 === 0, 'outline: x and y in turn');

export const fanReason = z.enum([
  /** Its borders are not sure enough to be proposed. */
  'FAN_UNSURE',
  /** Something moves beside it: an ECG, a spectrum, a second picture. */
  'FAN_MOVES_OUTSIDE',
  /** A second picture lies beside it. */
  'FAN_SECOND_PICTURE',
  /** A long line or a wide area stands beside it: an ECG, a spectrum, a table. */
  'FAN_WIDE_OUTSIDE',
  /** Too few frames to tell what moves. */
  'FAN_STILL',
]);
export type FanReason = z.infer<typeof fanReason>;

/** The sector as what alone could leave of a picture whose file does not say where it ends. A person agrees to it first. */
export const fanProposal = z.object({
  /** The sector grown by two pixels, and to its very border for a filmed screen. */
  outline: keepOutline,
  tightOutline: keepOutline,
  /** Part of the picture that it would leave visible, 0 to 1. */
  keptShare: z.number().min(0).max(1),
  /** 0 to 1: contrast of its borders and what moves or shines in it. */
  confidence: z.number().min(0).max(1),
  /** Whether it is proposed; else it may be chosen, and the reasons say why it is not. */
  proposed: z.boolean(),
  reasons: z.array(fanReason),
});
export type FanProposal = z.infer<typeof fanProposal>;
