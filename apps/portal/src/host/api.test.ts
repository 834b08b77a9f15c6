import { describe, expect, it } from 'vitest';
import { pathOf } from './api';
import { endpoints } from './endpoints';

describe('addresses of routes', () => {
  it('have every parameter filled in, with digits in its name too, and coded', () => {
    expect(pathOf('verifyOpinion', { sha256: 'ab' })).toBe('/api/verify/ab');
    expect(pathOf('clipFrame', { practiceId: 'p', referralId: 'r', clipId: 'a/b', frame: 7 })).toBe(
      '/api/cases/p/r/clips/a%2Fb/frames/7',
    );
    for (const [name, [, path]] of Object.entries(endpoints)) {
      const names = [...path.matchAll(/:(\w+)/g)].map((m) => m[1] ?? '');
      const filled = pathOf(name as keyof typeof endpoints, Object.fromEntries(names.map((n) => [n, 'x'])));
      expect(filled, name).not.toContain(':');
    }
  });
});
