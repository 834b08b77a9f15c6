import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { type PendingSignature, providePendingSignatures, usePendingSignature } from './pending-signature';

function Says({ id }: { id: string }) {
  return <p>{usePendingSignature(id)?.deviceSignedAt ?? 'none'}</p>;
}

describe('a pending signature', () => {
  it('is none until somebody keeps them, then that of its own case', () => {
    expect(renderToStaticMarkup(<Says id="a" />)).toBe('<p>none</p>');
    const kept: PendingSignature = { signedId: 's', deviceSignedAt: '2026-11-22T17:04:00Z', refused: null };
    providePendingSignatures({ subscribe: () => () => undefined, read: (id) => (id === 'a' ? kept : null) });
    expect(renderToStaticMarkup(<Says id="a" />)).toBe('<p>2026-11-22T17:04:00Z</p>');
    expect(renderToStaticMarkup(<Says id="b" />)).toBe('<p>none</p>');
  });
});
