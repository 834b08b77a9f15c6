import { describe, expect, it } from 'vitest';
import { nextTry } from './message-try';

describe('sending a message again', () => {
  it('keeps the id of the same text, and gives another text its own', () => {
    const first = nextTry(null, 'Is there fluid?');
    expect(nextTry(first, 'Is there fluid?')).toBe(first);
    const edited = nextTry(first, 'Is there any fluid?');
    expect(edited.text).toBe('Is there any fluid?');
    expect(edited.id).not.toBe(first.id);
  });

  it('gives the same text a new id once the first has arrived', () => {
    expect(nextTry(null, 'Thanks').id).not.toBe(nextTry(null, 'Thanks').id);
  });
});
