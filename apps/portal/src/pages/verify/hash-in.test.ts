import { describe, expect, it } from 'vitest';
import { hashIn } from './verify-page';

const HASH = '72aa8bf7554cba1704706fb9a2423c076cb379c61b5c41e232b7b734a3cbd79f';

describe('the hash of a paper', () => {
  it('is found in what is typed or pasted: broken lines, capitals, the whole address', () => {
    for (const text of [
      HASH,
      `${HASH.slice(0, 30)}\n ${HASH.slice(30)}`,
      HASH.toUpperCase(),
      `https://chordae.example/verify/${HASH}`,
      `SHA-256 of the signed text: ${HASH}`,
    ])
      expect(hashIn(text), text).toBe(HASH);
  });

  it('is not taken from what is too short or too long', () => {
    expect(hashIn('')).toBeNull();
    expect(hashIn(HASH.slice(1))).toBeNull();
    expect(hashIn('see the paper')).toBeNull();
  });
});
