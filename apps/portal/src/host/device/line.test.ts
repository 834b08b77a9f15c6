import { describe, expect, it } from 'vitest';
import { Line } from './line';

describe('a line', () => {
  it('was just cut only where it had been there, and not for long', () => {
    let now = 1000;
    const line = new Line(() => now);
    line.set('down');
    expect(line.justCut()).toBe(false);
    line.set('up');
    line.set('down');
    expect(line.justCut()).toBe(true);
    now += 4000;
    expect(line.justCut()).toBe(false);
    line.set('up');
    expect([line.read(), line.justCut()]).toEqual(['up', false]);
  });
});
