import { z } from 'zod';
import { box } from './clip';
import { keepOutline } from './fan-proposal';
import { id } from './ids';
import { viewId } from './terms';

/** A sender's word on what may leave of a file that does not say it itself. */
export const maskDecisionSaid = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('box'), box }),
  /** The sector that was found, after its sender saw what would leave. */
  z.object({ kind: z.literal('fan'), outline: keepOutline }),
  z.object({ kind: z.literal('no-name-confirmed') }),
]);
export type MaskDecisionSaid = z.infer<typeof maskDecisionSaid>;

/**
 * A small picture that goes ahead of its clip, made and masked where the file lies. `decision` is null when the file's own
 * regions say what may leave; without either nothing may be sent.
 */
export const firstFrameEntry = z.object({
  view: viewId.nullable(),
  decision: maskDecisionSaid.nullable(),
  /** At most 64 KiB as bytes, without notes of any kind. */
  jpegBase64: z.base64().min(1).max(90_000),
});

/** A clip that is on its way, of which the first frame is there. It goes when the clip is there. */
export const firstFrame = z.object({
  arrivalId: id,
  view: viewId.nullable(),
  widthPx: z.int(),
  heightPx: z.int(),
});
export type FirstFrame = z.infer<typeof firstFrame>;
