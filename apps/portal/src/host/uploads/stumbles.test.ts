import { describe, expect, it } from 'vitest';
import { ApiError } from '../route-fetch';
import { Stumbles } from './stumbles';

const answered = (status: number) => ({
  originalResponse: { getStatus: () => status, getBody: () => '' },
});

describe('a file on which the server fails', () => {
  it('is tried four times again, then its sender is told; another file is counted for itself', () => {
    const stumbles = new Stumbles();
    for (let n = 0; n < 4; n += 1) expect(stumbles.why('a', answered(500))).toBe('cut');
    expect(stumbles.why('b', new ApiError('INTERNAL', 'x'))).toBe('cut');
    expect(stumbles.why('a', answered(500))).toContain('failed on this file 5 times');
    // Tried again by hand it has as many tries.
    expect(stumbles.why('a', answered(500))).toBe('cut');
  });

  it('is not what a cut line, a restart or a session that ended is', () => {
    const stumbles = new Stumbles();
    for (let n = 0; n < 20; n += 1) {
      for (const passing of [new Error('x'), answered(503), answered(502), answered(429)])
        expect(stumbles.why('a', passing)).toBe('cut');
      expect(stumbles.why('a', answered(401))).toBe('signed-out');
    }
  });
});
