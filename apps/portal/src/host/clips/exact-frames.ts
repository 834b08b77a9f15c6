import { useEffect, useState } from 'react';
import { FrameCache } from './frame-cache';

/** Exact pixels of single frames; a few are enough, since they are looked at one by one. */
const cache = new FrameCache<ImageBitmap>(32 * 1024 * 1024, (bitmap) => bitmap.close());
const onTheWay = new Map<string, Promise<ImageBitmap | null>>();

async function fetchExact(url: string): Promise<ImageBitmap | null> {
  const response = await fetch(url, { credentials: 'same-origin' }).catch(() => null);
  if (!response?.ok) return null;
  const bitmap = await createImageBitmap(await response.blob(), {
    colorSpaceConversion: 'none',
    premultiplyAlpha: 'none',
  }).catch(() => null);
  if (bitmap) cache.set(url, bitmap, bitmap.width * bitmap.height * 4);
  return bitmap;
}

export type ExactState = 'off' | 'loading' | 'exact' | 'failed';

/** The exact picture at an address, while one is wanted; null until it is there. */
export function useExactFrame(url: string | null): { bitmap: ImageBitmap | null; state: ExactState } {
  const [, setCame] = useState(0);
  const [failed, setFailed] = useState<string | null>(null);
  useEffect(() => {
    if (url === null || cache.has(url)) return undefined;
    let wanted = true;
    const waiting = onTheWay.get(url) ?? fetchExact(url);
    onTheWay.set(url, waiting);
    void waiting.then((bitmap) => {
      onTheWay.delete(url);
      if (!wanted) return;
      if (bitmap) setCame((n) => n + 1);
      else setFailed(url);
    });
    return () => {
      wanted = false;
    };
  }, [url]);
  if (url === null) return { bitmap: null, state: 'off' };
  const bitmap = cache.get(url);
  return { bitmap, state: bitmap ? 'exact' : failed === url ? 'failed' : 'loading' };
}
