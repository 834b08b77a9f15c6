import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { MakeWay } from './make-way';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

function way(underWay = true) {
  const paused = vi.fn();
  const changed = vi.fn();
  return { paused, changed, way: new MakeWay({ underWay: () => underWay, pause: paused, changed }) };
}

describe('files under way', () => {
  it('stand back for a small thing that is not through after a moment, and not for one that is', () => {
    const { way: w, paused } = way();
    w.look(true);
    vi.advanceTimersByTime(699);
    w.look(false);
    vi.advanceTimersByTime(5000);
    expect(paused).not.toHaveBeenCalled();
    w.look(true);
    w.look(true);
    vi.advanceTimersByTime(700);
    expect(paused).toHaveBeenCalledTimes(1);
  });

  it('stand back at once for a page on which somebody waits, and for half a minute at most', () => {
    const { way: w, paused, changed } = way();
    const end = w.keepFree();
    expect([w.wanted(), changed.mock.calls.length]).toEqual([true, 1]);
    w.look(true);
    expect(paused).toHaveBeenCalledTimes(1);
    end();
    end();
    expect([w.wanted(), changed.mock.calls.length]).toEqual([false, 2]);
    w.keepFree();
    vi.advanceTimersByTime(30_000);
    expect(w.wanted()).toBe(false);
  });

  it('are not asked where none is', () => {
    const { way: w, paused } = way(false);
    w.look(true);
    vi.advanceTimersByTime(5000);
    expect(paused).not.toHaveBeenCalled();
  });
});
