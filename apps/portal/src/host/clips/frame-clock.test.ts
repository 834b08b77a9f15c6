import { describe, expect, it } from 'vitest';
import { frameAt, loopMs, startOf, stepped, timesOrGuess } from './frame-clock';

describe('playing at true speed', () => {
  it('shows the frame that is due by uneven times', () => {
    const times = [0, 30, 80, 100];
    expect([0, 29, 30, 79, 80, 99, 100, 119].map((t) => frameAt(times, t))).toEqual([0, 0, 1, 1, 2, 2, 3, 3]);
  });

  it('begins again after the last frame has stood as long as the one before', () => {
    expect(loopMs([0, 30, 80, 100])).toBe(120);
    expect(frameAt([0, 30, 80, 100], 120)).toBe(0);
    expect(frameAt([0, 30, 80, 100], 1230)).toBe(1);
  });

  it('holds a single frame', () => {
    expect(frameAt([0], 5000)).toBe(0);
  });

  it('goes on playing from the frame that was stepped to', () => {
    const times = [0, 30, 80, 100];
    expect(frameAt(times, startOf(times, 2))).toBe(2);
  });

  it('steps round both ends', () => {
    expect([stepped(0, -1, 52), stepped(51, 1, 52), stepped(3, 1, 52), stepped(0, 1, 0)]).toEqual([
      51, 0, 4, 0,
    ]);
  });

  it('guesses a pace only where the file gives none', () => {
    expect(timesOrGuess(null, 3)).toEqual([0, 40, 80]);
    expect(timesOrGuess([0, 33], 2)).toEqual([0, 33]);
  });
});
