import type { FanProposal, FanReason } from '@chordae/contract';

/** Why the sector that was found is not proposed as what alone may leave. */
const fanReasons: Record<FanReason, string> = {
  FAN_UNSURE: 'its borders are not sure',
  FAN_MOVES_OUTSIDE: 'something moves beside it, such as an ECG, a spectrum or a clock',
  FAN_SECOND_PICTURE: 'a second picture stands beside it',
  FAN_WIDE_OUTSIDE: 'a long line or a wide area stands beside it, such as an ECG or a spectrum',
  FAN_STILL: 'on a still or a few frames it cannot be told what moves',
};

/** What would leave if only the sector did, and what speaks against it. */
export function sayFan({ keptShare, proposed, reasons }: FanProposal): string {
  const kept = `${Math.round(100 * keptShare)} % of the picture would leave; text, scales, colour bars and lines beside it become black; a depth scale that was found stays as numbers.`;
  return proposed
    ? `The sector was found, and nothing moves beside it: ${kept}`
    : `A sector was found, but it is not proposed: ${reasons.map((reason) => fanReasons[reason]).join('; ')}. With it ${kept}`;
}
