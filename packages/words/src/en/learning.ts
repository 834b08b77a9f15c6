import type { Learning, MeasuredLearning, ViewLearning } from '@chordae/contract';

/** 'After 20 answered cases; 13 so far.' */
export function sayNotYet(learning: Pick<Learning, 'answeredCases' | 'from'>): string {
  return `After ${learning.from} answered cases; ${learning.answeredCases} so far. Fewer say more about the patients than about the hand.`;
}

/** '7 of 9 judged adequate, 2 doubtful; 3 not judged'. */
export function sayTally(
  tally: Pick<ViewLearning, 'adequate' | 'doubtful' | 'notPossible' | 'notJudged'>,
): string {
  const judged = tally.adequate + tally.doubtful;
  const parts = [judged === 0 ? 'none judged' : `${tally.adequate} of ${judged} judged adequate`];
  if (tally.doubtful > 0) parts.push(`${tally.doubtful} doubtful`);
  if (tally.notPossible > 0) parts.push(`${tally.notPossible} not possible`);
  return `${parts.join(', ')}${tally.notJudged > 0 ? `; ${tally.notJudged} not judged` : ''}`;
}

/** How one's measuring lies beside the readers'. Below measuring error nothing is said of a difference. */
export function sayMeasured(m: MeasuredLearning): string {
  const pairs = `${m.pairs} ${m.pairs === 1 ? 'pair' : 'pairs'}`;
  const size = Math.abs(m.meanDifferencePercent);
  const mean =
    size < 0.5
      ? 'on average the same'
      : `on average ${size.toFixed(size < 10 ? 1 : 0)} % ${m.meanDifferencePercent > 0 ? 'more' : 'less'} than the readers`;
  if (m.beyondError === null)
    return `${pairs}: ${mean}. How far two people differ on this is not published for the species.`;
  return `${pairs}: ${mean}; ${m.beyondError} of ${m.comparable} further apart than measuring explains.`;
}
