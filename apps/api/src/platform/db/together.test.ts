import { describe, expect, it } from 'vitest';
import { together } from './together';

const after = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

describe('questions asked together', () => {
  it('gives each answer under its name, also where no promise was made', async () => {
    expect(await together({ a: after(5).then(() => 1), b: 'two', c: null })).toEqual({
      a: 1,
      b: 'two',
      c: null,
    });
  });

  it('tells a failure only when all have ended', async () => {
    let ended = false;
    const slow = after(20).then(() => (ended = true));
    const asked = together({ bad: Promise.reject(new Error('refused')), slow });
    await expect(asked).rejects.toThrow('refused');
    expect(ended).toBe(true);
  });
});
