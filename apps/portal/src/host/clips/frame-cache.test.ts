import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FrameCache } from './frame-cache';

describe('the cache of decoded frames', () => {
  it('lets go of what was used longest ago, and says so', () => {
    const gone: string[] = [];
    const cache = new FrameCache<string>(100, (_, key) => gone.push(key));
    cache.set('a', 'A', 40);
    cache.set('b', 'B', 40);
    expect(cache.get('a')).toBe('A');
    cache.set('c', 'C', 40);
    expect(gone).toEqual(['b']);
    expect([cache.get('a'), cache.get('b'), cache.get('c')]).toEqual(['A', null, 'C']);
    expect(cache.bytes).toBe(80);
  });

  it('lets go of what only passes through before anything else', () => {
    const gone: string[] = [];
    const cache = new FrameCache<string>(100, (_, key) => gone.push(key));
    cache.set('a', 'A', 40);
    cache.set('p', 'P', 20, true);
    cache.set('q', 'Q', 20, true);
    cache.set('b', 'B', 40);
    expect(gone).toEqual(['p']);
    cache.set('r', 'R', 20, true);
    expect(gone).toEqual(['p', 'q']);
    cache.set('c', 'C', 30);
    expect(gone).toEqual(['p', 'q', 'r', 'a']);
  });

  it('replaces, drops by clip, and keeps one that is larger than all', () => {
    const gone: string[] = [];
    const cache = new FrameCache<string>(100, (value) => gone.push(value));
    cache.set('x:1', 'one', 30);
    cache.set('x:1', 'two', 50);
    cache.set('y:1', 'three', 20);
    cache.dropAll('x:');
    expect(gone).toEqual(['one', 'two']);
    cache.set('y:2', 'huge', 500);
    expect(cache.get('y:2')).toBe('huge');
    expect(cache.has('y:1')).toBe(false);
  });

  it('never holds more than its budget while single frames fit, and never loses count', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 1, max: 50 })), {
          maxLength: 60,
        }),
        (steps) => {
          let held = 0;
          const sizes = new Map<string, number>();
          const cache = new FrameCache<string>(120, (_, key) => {
            held -= sizes.get(key) ?? 0;
          });
          for (const [n, bytes] of steps) {
            const key = `k${n}`;
            cache.drop(key);
            sizes.set(key, bytes);
            held += bytes;
            cache.set(key, key, bytes);
            expect(cache.bytes).toBe(held);
            expect(cache.bytes).toBeLessThanOrEqual(120);
            expect(cache.get(key)).toBe(key);
          }
        },
      ),
    );
  });
});
