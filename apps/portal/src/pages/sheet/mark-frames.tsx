import type { Box } from '@chordae/contract';

/** Frames drawn over a picture, in its own pixels. */
export function MarkFrames({
  boxes,
  widthPx,
  heightPx,
}: {
  boxes: readonly Box[];
  widthPx: number;
  heightPx: number;
}) {
  return (
    <>
      {boxes.map((box) => (
        <span
          key={`${box.x0}-${box.y0}`}
          className="still-mark"
          style={{
            left: `${(box.x0 / widthPx) * 100}%`,
            top: `${(box.y0 / heightPx) * 100}%`,
            width: `${((box.x1 - box.x0 + 1) / widthPx) * 100}%`,
            height: `${((box.y1 - box.y0 + 1) / heightPx) * 100}%`,
          }}
        />
      ))}
    </>
  );
}
