import { device, heldBack } from '../device';

/** What a person typed and signed: whether any of it can go now, and what must be answered first. */
export function writesWaiting(memberId: string | null): {
  readonly waiting: boolean;
  /** Whether what a file belongs to waits for somebody's answer. */
  readonly stops: (of: { readonly referralId: string; readonly scanId: string }) => boolean;
} {
  const ops = device.outbox.read().filter((o) => o.memberId === memberId);
  const held = heldBack(ops);
  // A signature that waits for its password stops no file: what was signed does not rest on it.
  const refused = heldBack(ops, true);
  const stopped = new Set(ops.filter((o) => refused.has(o.seq)).flatMap((o) => o.keys));
  return {
    waiting: ops.some((o) => !held.has(o.seq)),
    stops: ({ referralId, scanId }) => stopped.has(`case:${referralId}`) || stopped.has(`scan:${scanId}`),
  };
}
