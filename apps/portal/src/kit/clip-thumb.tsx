import { useEffect, useRef, useState } from 'react';
import { ClipFrames } from '../host/clips/clip-frames';

/** Wide enough for a strip at twice the pixels; sixty of them at full size took more than the loops that play. */
const WIDTH_PX = 240;

/** The first frame of a clip as a small picture: decoded once, drawn small, and let go. */
export function ClipThumb({ url, label }: { url: string; label: string }) {
  const ref = useRef<HTMLCanvasElement>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    const frames = new ClipFrames(url, true);
    const paint = () => {
      setProblem(frames.read().problem);
      const bitmap = frames.read().loaded > 0 ? frames.bitmap(0) : null;
      const canvas = ref.current;
      if (!bitmap || !canvas) return;
      canvas.width = WIDTH_PX;
      canvas.height = Math.max(1, Math.round((WIDTH_PX * bitmap.height) / bitmap.width));
      canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
      frames.close();
    };
    const stop = frames.subscribe(paint);
    return () => {
      stop();
      frames.close();
    };
  }, [url]);
  return (
    <>
      {problem ? <p className="clip-problem">{problem}</p> : null}
      <canvas
        ref={ref}
        className="clip-canvas"
        width={WIDTH_PX}
        height={(WIDTH_PX * 3) / 4}
        hidden={problem !== null}
        role="img"
        aria-label={label}
      />
    </>
  );
}
