import { describe, expect, it } from 'vitest';
import { keepText, keptKey, missingOnServer, readKept, type Shelf } from './kept-text';

function shelf(): Shelf & { readonly all: Map<string, string> } {
  const all = new Map<string, string>();
  return {
    all,
    getItem: (k) => all.get(k) ?? null,
    setItem: (k, v) => void all.set(k, v),
    removeItem: (k) => void all.delete(k),
  };
}
const at = '2026-11-25T10:00:00.000Z';

describe('text kept in the browser', () => {
  it('is there after a reload while the server has not confirmed it, and gone when it has', () => {
    const s = shelf();
    const key = keptKey('me', 'draft');
    keepText(s, key, { revision: 4, fields: { conclusion: 'Typed.' }, at });
    expect(readKept(s, key)).toEqual({ revision: 4, fields: { conclusion: 'Typed.' }, at });
    keepText(s, key, { revision: 5, fields: {}, at });
    expect(readKept(s, key)).toBeNull();
    expect(s.all.size).toBe(0);
  });

  it('is offered to nobody else who signs in here', () => {
    const s = shelf();
    keepText(s, keptKey('me', 'draft'), { revision: 1, fields: { next: 'x' }, at });
    expect(readKept(s, keptKey('somebody', 'draft'))).toBeNull();
  });

  it('offers only what the server does not have, whatever the order of keys', () => {
    const kept = { revision: 1, fields: { a: { x: 1, y: [2, { p: 1, q: 2 }] }, b: 'old', c: null }, at };
    expect(missingOnServer(kept, { a: { y: [2, { q: 2, p: 1 }], x: 1 }, b: 'new', c: null })).toEqual({
      b: 'old',
    });
    expect(missingOnServer(null, { a: 1 })).toEqual({});
  });

  it('takes a full or shut storage, and nonsense in it, for none', () => {
    const shut: Shelf = {
      getItem: () => {
        throw new Error('shut');
      },
      setItem: () => {
        throw new Error('full');
      },
      removeItem: () => undefined,
    };
    expect(() => keepText(shut, 'k', { revision: 1, fields: { a: 1 }, at })).not.toThrow();
    expect(readKept(shut, 'k')).toBeNull();
    const s = shelf();
    s.all.set('k', '{"fields":');
    expect(readKept(s, 'k')).toBeNull();
    expect(readKept(null, 'k')).toBeNull();
  });
});
