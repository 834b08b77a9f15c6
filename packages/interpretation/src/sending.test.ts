import { describe, expect, it } from 'vitest';
import { sendingBlockers, urgencyThatStands } from './sending';

const READY = {
  question: 'Is it the heart?',
  clips: [{ number: 1, fileName: 'a.dcm', mask: 'regions' }],
  filesOnTheWay: 0,
  measurements: 0,
  observations: 0,
};
const codes = (part: Partial<typeof READY>) => sendingBlockers({ ...READY, ...part }).map((b) => b.code);

describe('what keeps a draft from being sent', () => {
  it('is nothing where a question and anything to read are there', () => {
    expect(codes({})).toEqual([]);
    expect(codes({ clips: [], filesOnTheWay: 1 })).toEqual([]);
    expect(codes({ clips: [], measurements: 1 })).toEqual([]);
    expect(codes({ clips: [], observations: 1 })).toEqual([]);
  });

  it('is a missing question, nothing to read, and a clip of which nobody said whether it shows a name', () => {
    expect(codes({ clips: [], question: ' ' })).toEqual(['NOTHING_TO_READ', 'QUESTION_MISSING']);
    const undecided = { number: 3, fileName: 'b.avi', mask: 'needs-decision' };
    expect(sendingBlockers({ ...READY, clips: [...READY.clips, undecided] })).toEqual([
      { code: 'MASK_UNDECIDED', field: 'clips', data: { number: 3, fileName: 'b.avi' } },
    ]);
  });
});

describe('the urgency that stands', () => {
  it('is the higher one, unless a reason lowers it', () => {
    expect(urgencyThatStands(null, 'urgent', '')).toBe('urgent');
    expect(urgencyThatStands('emergency', 'routine', '')).toBe('emergency');
    expect(urgencyThatStands('routine', 'emergency', ' ')).toBe('emergency');
    expect(urgencyThatStands('routine', 'emergency', 'Calm since Monday.')).toBe('routine');
  });
});
