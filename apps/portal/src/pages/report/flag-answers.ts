import type { Flag, ReportFlagAnswer, ReportText } from '@chordae/contract';

type Answers = Pick<ReportText, 'flagAnswers'>;

/** The change that answers a flag; one answer each, in the order in which they were first given. */
export function answerFlag(now: Answers, flagKey: string, part: Partial<ReportFlagAnswer>): Answers {
  const before = now.flagAnswers.find((a) => a.flagKey === flagKey);
  if (before) return { flagAnswers: now.flagAnswers.map((a) => (a === before ? { ...a, ...part } : a)) };
  return { flagAnswers: [...now.flagAnswers, { flagKey, answer: 'kept', reason: '', ...part }] };
}

/** Act-now flags that still wait for an answer, or for the reason of one that is set aside. */
export function flagsOpen(flags: readonly Flag[], now: Answers): Flag[] {
  return flags.filter((f) => {
    if (f.level !== 'act-now') return false;
    const answer = now.flagAnswers.find((a) => a.flagKey === f.key);
    return !answer || (answer.answer === 'set-aside' && answer.reason.trim() === '');
  });
}

/** Flags that who scanned wants a cardiologist to see. */
export function passedUp(now: Answers): ReportFlagAnswer[] {
  return now.flagAnswers.filter((a) => a.answer === 'passed-up');
}
