import { seededRandom } from '@chordae/phantom';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitBeat } from './fit-beat';
import { momentsOf } from './moments';

/** A volume curve drawn with straight lines, not with the shape that is fitted: emptying, early filling, rest, atrial filling. */
function drawn(count: number, period: number, begin: number, systole = 0.38): number[] {
  const knots = [
    [0, 1],
    [systole, 0.3],
    [systole + 0.24, 0.82],
    [0.82, 0.84],
    [1, 1],
  ] as const;
  return Array.from({ length: count }, (_, n) => {
    const phase = ((((n - begin) / period) % 1) + 1) % 1;
    const k = knots.findIndex(([at]) => at > phase);
    const [from, to] = [knots[k - 1], knots[k]] as [(typeof knots)[number], (typeof knots)[number]];
    return from[1] + ((phase - from[0]) / (to[0] - from[0])) * (to[1] - from[1]);
  });
}

const asked = (curve: readonly number[], periodFrames: number) =>
  momentsOf({ curves: [curve], periodFrames, periodSeen: true, rFrames: null });

describe('moments of the beat', () => {
  it('finds both ends of systole in curves that were not drawn with the fitted shape', () => {
    const random = seededRandom(11);
    let [found, within] = [0, 0];
    for (let n = 0; n < 60; n += 1) {
      const period = 12 + 30 * random();
      const systole = 0.33 + 0.14 * random();
      const begin = period * random();
      const count = Math.round(1.6 * period);
      const noisy = drawn(count, period, begin, systole).map((v) => v + 0.06 * (random() - 0.5));
      const said = asked(noisy, period);
      for (let at = begin - 2 * period; at < count - 2.5; at += period)
        for (const [moment, frames] of [
          [at, said.endDiastoleFrames],
          [at + systole * period, said.endSystoleFrames],
        ] as const) {
          if (moment < 1.5 || moment > count - 2.5) continue;
          found += 1;
          if (frames.some((f) => Math.abs(f - moment) <= 1.01)) within += 1;
        }
    }
    expect(found).toBeGreaterThan(150);
    expect(within / found).toBeGreaterThan(0.9);
  });

  it('names a systole near the end of the clip, whose rise was not seen', () => {
    // Second systole at 9.1 + 23 = 32.1 of 34 frames.
    const said = asked(drawn(34, 23, 0.36), 23);
    expect(said.endSystoleFrames).toEqual([9, 32]);
  });

  it('is not led away by one false dip in diastole', () => {
    const curve = drawn(40, 25, 2);
    for (const [at, value] of [
      [20, 0.2],
      [21, 0.15],
      [22, 0.2],
    ] as const)
      curve[at] = value;
    const said = asked(curve, 25).endSystoleFrames;
    expect(said).toHaveLength(2);
    expect(Math.abs((said[0] as number) - 11.5)).toBeLessThanOrEqual(1);
    expect(Math.abs((said[1] as number) - 36.5)).toBeLessThanOrEqual(1);
  });

  it('keeps R waves as end diastole', () => {
    const said = momentsOf({
      curves: [drawn(40, 25, 2)],
      periodFrames: 25,
      periodSeen: true,
      rFrames: [3, 28],
    });
    expect(said.endDiastoleFrames).toEqual([3, 28]);
  });

  it('says the same whatever the curve is measured in', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        (scale, offset) => {
          const curve = drawn(38, 22.5, 5.2);
          expect(
            asked(
              curve.map((v) => scale * v + offset * scale),
              22.5,
            ),
          ).toEqual(asked(curve, 22.5));
        },
      ),
      { numRuns: 40 },
    );
  });

  it('answers for any curve with frames of the clip, in order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 255 }), { maxLength: 60 }),
        fc.double({ min: 3, max: 80, noNaN: true }),
        fc.boolean(),
        (curve, periodFrames, periodSeen) => {
          const said = momentsOf({
            curves: [curve, [...curve].reverse()],
            periodFrames,
            periodSeen,
            rFrames: null,
          });
          for (const frames of [said.endDiastoleFrames, said.endSystoleFrames])
            frames.forEach((f, n) => {
              expect(Number.isInteger(f) && f >= 0 && f < curve.length).toBe(true);
              expect(n === 0 || f > (frames[n - 1] as number)).toBe(true);
            });
        },
      ),
    );
  });
});

describe('a beat laid over a curve', () => {
  it('explains its own kind of curve nearly wholly and noise hardly', () => {
    const random = seededRandom(3);
    expect(fitBeat(drawn(50, 30, 4), 30)?.explained).toBeGreaterThan(0.95);
    expect(
      fitBeat(
        Array.from({ length: 200 }, () => random()),
        30,
      )?.explained,
    ).toBeLessThan(0.3);
  });

  it('says nothing of a curve that does not move', () => {
    expect(
      fitBeat(
        Array.from({ length: 40 }, () => 7),
        20,
      ),
    ).toBeNull();
  });
});
