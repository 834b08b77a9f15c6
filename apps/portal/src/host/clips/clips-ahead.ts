import { ClipFrames, isPlaying } from './clip-frames';

/** Clips asked for before there is a tile for them are let go after this, ms. */
const KEPT_MS = 8000;

const ahead = new Map<
  string,
  { readonly frames: ClipFrames; readonly timer: ReturnType<typeof setTimeout> }
>();

function forget(url: string): ClipFrames | null {
  const found = ahead.get(url);
  if (!found) return null;
  clearTimeout(found.timer);
  ahead.delete(url);
  return found.frames;
}

/** Begins to fetch and decode clips that are about to be shown, in this order. */
export function openAhead(urls: readonly string[]): void {
  for (const url of urls) {
    if (isPlaying(url)) continue;
    const timer = setTimeout(() => forget(url)?.close(), KEPT_MS);
    ahead.set(url, { frames: new ClipFrames(url, false), timer });
  }
}

/** The frames of a clip, those begun ahead where there are such. Who takes them closes them. */
export function framesOf(url: string): ClipFrames {
  return forget(url) ?? new ClipFrames(url, false);
}
