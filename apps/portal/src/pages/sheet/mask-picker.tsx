import type { Box, MaskDecisionSaid } from '@chordae/contract';
import type { PointerEvent, ReactNode } from 'react';
import { useRef, useState } from 'react';
import { Button } from '../../kit/button';
import { TextField } from '../../kit/field';
import { MarkFrames } from './mark-frames';

/** The box between two corners, inside the picture, or null when it is too small to be meant. */
export function boxOf(
  a: { x: number; y: number },
  b: { x: number; y: number },
  widthPx: number,
  heightPx: number,
): Box | null {
  const within = (v: number, most: number) => Math.round(Math.min(Math.max(v, 0), most - 1));
  const box = {
    x0: within(Math.min(a.x, b.x), widthPx),
    y0: within(Math.min(a.y, b.y), heightPx),
    x1: within(Math.max(a.x, b.x), widthPx),
    y1: within(Math.max(a.y, b.y), heightPx),
  };
  return box.x1 - box.x0 < 16 || box.y1 - box.y0 < 16 ? null : box;
}

/** A person draws round what may leave, or says that no name is there; `picture` is drawn on in its own pixels. */
export function MaskPicker({
  widthPx,
  heightPx,
  marks,
  picture,
  problem,
  onDecide,
}: {
  widthPx: number;
  heightPx: number;
  marks: readonly Box[];
  picture: ReactNode;
  problem: string | null;
  onDecide: (said: MaskDecisionSaid) => void;
}) {
  const [box, setBox] = useState<Box | null>(null);
  const from = useRef<{ x: number; y: number } | null>(null);
  const point = (event: PointerEvent<HTMLElement>) => {
    const area = event.currentTarget.getBoundingClientRect();
    return {
      x: ((event.clientX - area.left) / area.width) * widthPx,
      y: ((event.clientY - area.top) / area.height) * heightPx,
    };
  };
  const edge = (key: keyof Box, most: number) => (value: string) =>
    setBox((now) => ({
      ...(now ?? { x0: 0, y0: 0, x1: widthPx - 1, y1: heightPx - 1 }),
      [key]: Math.min(most - 1, Math.max(0, Math.round(Number(value) || 0))),
    }));
  return (
    <>
      <p className="hint">
        Draw a box round what may leave; all else becomes black in what the readers get.
        {marks.length > 0 ? ' Framed: what does not move and may be text.' : ''}
      </p>
      <div
        className="mask-stage"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          from.current = point(event);
        }}
        onPointerMove={(event) => {
          if (from.current) setBox(boxOf(from.current, point(event), widthPx, heightPx));
        }}
        onPointerUp={() => {
          from.current = null;
        }}
      >
        {picture}
        <MarkFrames boxes={marks} widthPx={widthPx} heightPx={heightPx} />
        {box ? (
          <span
            className="mask-box"
            style={{
              left: `${(box.x0 / widthPx) * 100}%`,
              top: `${(box.y0 / heightPx) * 100}%`,
              width: `${((box.x1 - box.x0 + 1) / widthPx) * 100}%`,
              height: `${((box.y1 - box.y0 + 1) / heightPx) * 100}%`,
            }}
          />
        ) : null}
      </div>
      <details className="hint">
        <summary>Give the box in numbers</summary>
        <div className="form-grid">
          <TextField
            label="Left edge"
            type="number"
            value={box?.x0 ?? 0}
            onChange={(e) => edge('x0', widthPx)(e.target.value)}
          />
          <TextField
            label="Top edge"
            type="number"
            value={box?.y0 ?? 0}
            onChange={(e) => edge('y0', heightPx)(e.target.value)}
          />
          <TextField
            label="Right edge"
            type="number"
            value={box?.x1 ?? widthPx - 1}
            onChange={(e) => edge('x1', widthPx)(e.target.value)}
          />
          <TextField
            label="Bottom edge"
            type="number"
            value={box?.y1 ?? heightPx - 1}
            onChange={(e) => edge('y1', heightPx)(e.target.value)}
          />
        </div>
      </details>
      {problem ? (
        <p className="problem" role="alert">
          {problem}
        </p>
      ) : null}
      <p className="row">
        <Button look="main" disabled={box === null} onClick={() => box && onDecide({ kind: 'box', box })}>
          Only the box may leave
        </Button>
        <Button onClick={() => onDecide({ kind: 'no-name-confirmed' })}>No name is in the picture</Button>
      </p>
    </>
  );
}
