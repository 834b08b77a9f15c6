import type { Flag, ReportText } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { answerFlag, flagsOpen, passedUp } from './flag-answers';

const flag = (key: string, level: Flag['level']) => ({ key, level }) as Flag;
const none: Pick<ReportText, 'flagAnswers'> = { flagAnswers: [] };

describe('answers to flags', () => {
  it('hold one answer each and keep the reason when the answer changes', () => {
    const first = answerFlag(none, 'A', { answer: 'passed-up' });
    const both = answerFlag(first, 'B', { answer: 'kept' });
    const reasoned = answerFlag(both, 'A', { reason: 'By telephone.' });
    const changed = answerFlag(reasoned, 'A', { answer: 'set-aside' });
    expect(changed.flagAnswers).toEqual([
      { flagKey: 'A', answer: 'set-aside', reason: 'By telephone.' },
      { flagKey: 'B', answer: 'kept', reason: '' },
    ]);
    expect(passedUp(reasoned).map((a) => a.flagKey)).toEqual(['A']);
    expect(passedUp(changed)).toEqual([]);
  });

  it('leave open what has none, and what is set aside without a reason; other levels need none', () => {
    const flags = [flag('A', 'act-now'), flag('B', 'act-now'), flag('C', 'look')];
    expect(flagsOpen(flags, none).map((f) => f.key)).toEqual(['A', 'B']);
    const aside = answerFlag(answerFlag(none, 'A', { answer: 'kept' }), 'B', { answer: 'set-aside' });
    expect(flagsOpen(flags, aside).map((f) => f.key)).toEqual(['B']);
    expect(flagsOpen(flags, answerFlag(aside, 'B', { reason: 'Wrong patient typed.' }))).toEqual([]);
  });
});
