import { describe, expect, it } from 'vitest';
import { namesAgree } from './machine-offers';
import { boxOf } from './mask-picker';

describe('names in file and referral', () => {
  it('agree whatever the order, marks and case', () => {
    expect(namesAgree('SMITH^BISCUIT', 'Biscuit')).toBe(true);
    expect(namesAgree('Zoë', 'zoe')).toBe(true);
    expect(namesAgree('Biscuit', 'Biscuit 🐾')).toBe(true);
  });
  it('differ when no word is shared, or only a part of one', () => {
    expect(namesAgree('SMITH^REX', 'Biscuit')).toBe(false);
    expect(namesAgree('BISCUITS', 'Biscuit')).toBe(false);
  });
});

describe('the box that may leave', () => {
  it('holds its corners in any order and stays inside the picture', () => {
    expect(boxOf({ x: 500, y: 900 }, { x: -20, y: 40 }, 800, 600)).toEqual({
      x0: 0,
      y0: 40,
      x1: 500,
      y1: 599,
    });
  });
  it('is none when it is too small to be meant', () => {
    expect(boxOf({ x: 10, y: 10 }, { x: 14, y: 200 }, 800, 600)).toBeNull();
  });
});
