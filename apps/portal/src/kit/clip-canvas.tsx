import { useEffect, useRef } from 'react';
import type { ClipFrames } from '../host/clips/clip-frames';

/** Paints one frame, pixel for pixel; the style sheet sizes it. */
export function ClipCanvas({
  frames,
  frame,
  loaded,
  widthPx,
  heightPx,
  label,
}: {
  frames: ClipFrames | null;
  frame: number;
  loaded: number;
  widthPx: number;
  heightPx: number;
  label: string;
}) {
  const ref = useRef<HTMLCanvasElement>(null);
  const there = loaded > frame;
  useEffect(() => {
    const bitmap = there ? frames?.bitmap(frame) : null;
    if (bitmap) ref.current?.getContext('2d')?.drawImage(bitmap, 0, 0);
  }, [frames, frame, there, widthPx]);
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
