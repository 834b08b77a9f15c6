import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cycleOf, nextMoment, toggledMark } from './beats';
import { beatMs, framesBetween, LoopPlan } from './loop-plan';

const every = (ms: number, count: number) => Array.from({ length: count }, (_, n) => n * ms);
/** 25 frames a second with beats of 500 ms; 50 a second with beats of 300 ms. */
const slow = {
  times: every(40, 30),
  beats: [
    { from: 2, to: 14 },
    { from: 14, to: 27 },
  ],
};
const quick = { times: every(20, 40), beats: [{ from: 5, to: 20 }] };
const silent = { times: every(50, 10), beats: [] };
const tracks = new Map([
  [1, slow],
  [2, quick],
  [3, silent],
]);
const frames = (plan: LoopPlan, ms: number) => [1, 2, 3].map((place) => plan.due(place, ms)?.frame);

describe('loops in phase', () => {
  const plan = new LoopPlan(tracks, 'together');
  it('begin every beat together, each at its true speed', () => {
    expect(frames(plan, 0)).toEqual([2, 5, 0]);
    expect(frames(plan, 200)).toEqual([7, 15, 4]);
  });
  it('hold the last frame of the quick one until the slowest is done', () => {
    expect(beatMs(slow.times, slow.beats[0] ?? { from: 0, to: 0 })).toBe(480);
    expect(frames(plan, 300).slice(0, 2)).toEqual([9, 19]);
    expect(frames(plan, 479).slice(0, 2)).toEqual([13, 19]);
    expect(frames(plan, 480).slice(0, 2)).toEqual([14, 5]);
    expect(frames(plan, 480 + 520).slice(0, 2)).toEqual([2, 5]);
  });
  it('let a clip without beats play by itself', () => {
    expect([0, 250, 500, 750].map((t) => plan.due(3, t)?.frame)).toEqual([0, 5, 0, 5]);
  });
  it('show nothing for a place without a clip', () => {
    expect(plan.due(9, 0)).toBeNull();
  });
});

describe('loops stretched to one beat', () => {
  const plan = new LoopPlan(tracks, 'stretched');
  it('let each beat take as long as the slowest, and say by how much it is slowed', () => {
    expect(frames(plan, 240).slice(0, 2)).toEqual([8, 12]);
    expect(plan.speed(2)).toBeCloseTo(300 / 480, 9);
    expect(plan.speed(1)).toBe(1);
    expect(plan.speed(3)).toBe(1);
  });
});

describe('free loops', () => {
  it('play each clip whole', () => {
    const plan = new LoopPlan(tracks, 'free');
    expect(frames(plan, 0)).toEqual([0, 0, 0]);
    expect(frames(plan, 820)).toEqual([20, 1, 6]);
    expect(plan.speed(2)).toBe(1);
  });
});

describe('every mode', () => {
  it('comes back to the frame that was stepped to', () => {
    for (const mode of ['together', 'stretched', 'free'] as const) {
      const plan = new LoopPlan(tracks, mode);
      for (const frame of [2, 9, 20]) expect(plan.due(1, plan.elapsedAt(1, frame) + 1e-6)?.frame).toBe(frame);
      expect(plan.due(2, plan.elapsedAt(2, 12) + 1e-6)?.frame).toBe(12);
    }
  });

  it('counts each frame once, however seldom one looks', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('together', 'stretched', 'free'),
        fc.array(fc.double({ min: 1, max: 19, noNaN: true }), { minLength: 2, maxLength: 200 }),
        (mode, steps) => {
          const plan = new LoopPlan(tracks, mode as 'free');
          let [elapsed, counted, fine] = [0, 0, 0];
          let [last, lastFine] = [plan.due(2, 0), plan.due(2, 0)];
          for (const step of steps) {
            for (let t = 0; t < step; t += 0.5) {
              const now = plan.due(2, elapsed + t);
              if (now && lastFine) fine += framesBetween(lastFine, now);
              lastFine = now;
            }
            elapsed += step;
            const now = plan.due(2, elapsed);
            if (now && last) counted += framesBetween(last, now);
            last = now;
          }
          const end = plan.due(2, elapsed);
          if (end && lastFine) fine += framesBetween(lastFine, end);
          expect(counted).toBe(fine);
        },
      ),
      { numRuns: 50 },
    );
  });
});

describe('the beats of a clip', () => {
  const times = every(20, 60);
  const suggested = { endDiastoleFrames: [10, 35], endSystoleFrames: [20, 45], periodFrames: 25 };
  const marks = { endDiastole: [12, 37], endSystole: [] };
  const none = { times, rWaveTimesMs: [], marks: null, suggested: null };

  it('begin at R waves, else at marks, else where the pictures suggest it', () => {
    expect(cycleOf({ times, rWaveTimesMs: [200, 705], marks, suggested })).toMatchObject({
      beats: [{ from: 10, to: 35 }],
      source: 'r-wave',
    });
    expect(cycleOf({ times, rWaveTimesMs: [], marks, suggested })).toMatchObject({
      beats: [{ from: 12, to: 37 }],
      source: 'marked',
    });
    expect(cycleOf({ times, rWaveTimesMs: [], marks: null, suggested })).toMatchObject({
      source: 'suggested',
    });
    expect(cycleOf(none)).toEqual({ endDiastole: [], endSystole: [], beats: [], source: null });
  });

  it('show what was marked in place of what was suggested near it, and the rest as it is', () => {
    const one = { endDiastole: [12], endSystole: [] };
    const cycle = cycleOf({ times, rWaveTimesMs: [], marks: one, suggested });
    expect(cycle.endDiastole.map((m) => [m.frame, m.from])).toEqual([
      [12, 'marked'],
      [35, 'suggested'],
    ]);
    expect(cycle.endSystole.map((m) => [m.frame, m.from])).toEqual([
      [20, 'suggested'],
      [45, 'suggested'],
    ]);
    const waves = cycleOf({ times, rWaveTimesMs: [200, 705], marks: one, suggested });
    expect(waves.endDiastole.map((m) => m.from)).toEqual(['marked', 'r-wave']);
  });

  it('make one beat from one beginning and a period, and none beyond the end', () => {
    const one = { ...suggested, endDiastoleFrames: [10] };
    expect(cycleOf({ ...none, suggested: one }).beats).toEqual([{ from: 10, to: 35 }]);
    expect(cycleOf({ ...none, suggested: { ...one, periodFrames: 80 } }).beats).toEqual([]);
    expect(
      cycleOf({ ...none, suggested: { ...one, endDiastoleFrames: [10, 99, -1] } }).endDiastole,
    ).toHaveLength(1);
  });

  it('are stepped through round the end, and marks are toggled', () => {
    const { endDiastole } = cycleOf({ ...none, marks });
    expect([0, 12, 40].map((f) => nextMoment(endDiastole, f)?.frame)).toEqual([12, 37, 12]);
    expect(nextMoment([], 3)).toBeNull();
    expect(toggledMark([4, 9], 6)).toEqual([4, 6, 9]);
    expect(toggledMark([4, 9], 4)).toEqual([9]);
  });
});
