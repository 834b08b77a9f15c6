import { useEffect, useRef, useState } from 'react';
import type { FrameSource } from '../host/clips/frame-source';

/** Paints one frame, pixel for pixel; the style sheet sizes it. */
export function ClipCanvas({
  frames,
  frame,
  loaded,
  widthPx,
  heightPx,
  label,
}: {
  frames: FrameSource | null;
  frame: number;
  loaded: number;
  widthPx: number;
  heightPx: number;
  label: string;
}) {
  const ref = useRef<HTMLCanvasElement>(null);
  const [came, setCame] = useState(0);
  const there = loaded > frame;
  useEffect(() => {
    const bitmap = there ? frames?.bitmap(frame) : null;
    if (bitmap) ref.current?.getContext('2d')?.drawImage(bitmap, 0, 0);
    // It had left the cache: it is painted when it has been decoded again.
    else if (there) return frames?.whenDecoded((n) => n === frame && setCame((c) => c + 1));
    return undefined;
  }, [frames, frame, there, widthPx, came]);
  return (
    <canvas
      ref={ref}
      className="clip-canvas"
      width={widthPx || 4}
      height={heightPx || 3}
      data-frame={frame}
      role="img"
      aria-label={label}
    />
  );
}
