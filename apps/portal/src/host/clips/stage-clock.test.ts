import { describe, expect, it } from 'vitest';
import type { ClockPlatform } from './stage-clock';
import { StageClock } from './stage-clock';

const times = (ms: number, count: number) => Array.from({ length: count }, (_, n) => n * ms);

/** A clock whose time goes only when it is told to. */
function made(playing = true) {
  let now = 0;
  let draw: ((now: number) => void) | null = null;
  const platform: ClockPlatform = {
    now: () => now,
    ask: (next) => {
      draw = next;
      return 1;
    },
    stop: () => {
      draw = null;
    },
  };
  const clock = new StageClock(playing, platform);
  const seen: Record<number, number[]> = { 1: [], 2: [] };
  const screen = (place: number, ms: number, count: number, there = true) =>
    clock.set(place, {
      track: { times: times(ms, count), beats: [{ from: 0, to: count }] },
      paint: (frame) => {
        seen[place]?.push(frame);
        return there;
      },
    });
  const pass = (ms: number) => {
    now += ms;
    const next = draw;
    draw = null;
    next?.(now);
  };
  return { clock, seen, screen, pass };
}

describe('the clock of the stage', () => {
  it('paints each frame that is due once, all clips from one clock', () => {
    const { seen, screen, pass, clock } = made();
    screen(1, 20, 5);
    screen(2, 40, 3);
    for (let n = 0; n < 13; n += 1) pass(10);
    // The quick one holds its last frame until the slow one is done at 120 ms.
    expect(seen[1]).toEqual([0, 1, 2, 3, 4, 0]);
    expect(seen[2]).toEqual([0, 1, 2, 0]);
    expect(clock.figures()).toEqual({ expected: 10, presented: 10, missing: 0 });
  });

  it('counts frames that were skipped or not there as not presented', () => {
    const late = made();
    late.screen(1, 20, 10);
    late.pass(10);
    late.pass(60);
    expect(late.seen[1]).toEqual([0, 3]);
    expect(late.clock.figures()).toEqual({ expected: 4, presented: 2, missing: 0 });
    const missing = made();
    missing.screen(1, 20, 10, false);
    missing.pass(10);
    expect(missing.clock.figures()).toEqual({ expected: 1, presented: 0, missing: 1 });
  });

  it('holds, steps one clip round the end, and plays on from there', () => {
    const { clock, seen, screen, pass } = made();
    screen(1, 20, 5);
    screen(2, 20, 5);
    pass(50);
    clock.step(1, 1);
    expect(clock.read().playing).toBe(false);
    expect([clock.frameOf(1), clock.frameOf(2)]).toEqual([3, 2]);
    clock.step(1, 2);
    expect(clock.frameOf(1)).toBe(0);
    clock.goTo(1, 4);
    clock.toggle(1);
    pass(5);
    expect([seen[1]?.at(-1), seen[2]?.at(-1)]).toEqual([4, 4]);
    clock.toggle(1);
    pass(500);
    expect(seen[2]?.at(-1)).toBe(4);
  });

  it('goes through the three modes and tells who listens', () => {
    const { clock, screen } = made(false);
    screen(1, 20, 5);
    let told = 0;
    clock.subscribe(() => {
      told += 1;
    });
    expect([clock.nextMode(), clock.nextMode(), clock.nextMode()]).toEqual(['stretched', 'free', 'together']);
    expect(told).toBe(3);
  });
});
