import type { CaseView, FrameDrawing, FramePoint } from '@chordae/contract';
import { frameEllipse } from '@chordae/report';
import { useState } from 'react';
import { pathOf } from '../host/api';

/** One frame of a clip with what was drawn on it. Its words say what stands in for it where it cannot be seen. */
export function FramePicture({
  c,
  clipId,
  frame,
  drawings,
  label,
  asPaper = false,
}: {
  c: Pick<CaseView, 'referral' | 'clips'>;
  clipId: string;
  frame: number;
  drawings: readonly FrameDrawing[];
  label: string;
  /** As it is printed: with what hides a name, also for the practice itself. */
  asPaper?: boolean;
}) {
  const [failed, setFailed] = useState(false);
  const description = c.clips.find((k) => k.id === clipId)?.description;
  const width = description?.widthPx ?? 4;
  const height = description?.heightPx ?? 3;
  const drawn = drawings.map((d) => d.label).filter((t) => t !== '');
  const said = drawn.length > 0 ? `${label}. Drawn: ${drawn.join(', ')}` : label;
  if (failed || !description)
    return (
      <div className="frame-picture frame-none">
        <p className="hint">{said}. The picture could not be loaded.</p>
      </div>
    );
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  return (
    <div className="frame-picture" style={{ aspectRatio: `${width} / ${height}` }}>
      <img
        src={pathOf('clipFrame', { ...place, clipId, frame }, asPaper ? { as: 'paper' } : {})}
        alt={said}
        loading="lazy"
        width={width}
        height={height}
        onError={() => setFailed(true)}
      />
      <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true" className="frame-lines">
        {drawings.map((drawing) => (
          <Drawn key={JSON.stringify(drawing.points[0]) + drawing.label} drawing={drawing} width={width} />
        ))}
      </svg>
    </div>
  );
}

function Drawn({ drawing, width }: { drawing: FrameDrawing; width: number }) {
  const d = pathOfDrawing(drawing);
  const last = drawing.points.at(-1);
  return (
    <g>
      <path d={d} className="frame-under" />
      <path d={d} />
      {last && drawing.label !== '' ? (
        <text x={Math.min(last.x + width * 0.02, width * 0.7)} y={last.y} fontSize={width * 0.045}>
          {drawing.label}
        </text>
      ) : null}
    </g>
  );
}

const line = (points: readonly FramePoint[]) =>
  points.map((p, i) => `${i === 0 ? 'M' : 'L'}${p.x} ${p.y}`).join(' ');

/** The outline of what was drawn, in pixels of the frame. */
export function pathOfDrawing({ shape, points, axis }: FrameDrawing): string {
  const [a, b, c] = points;
  if (!a) return '';
  if (shape === 'velocity') return `M${a.x - 8} ${a.y} h16 M${a.x} ${a.y - 8} v16`;
  if (shape === 'ellipse' && b && c) {
    const { first, second, turnDeg } = frameEllipse([a, b, c]);
    const arc = `A${first} ${second} ${turnDeg} 1 0`;
    return `M${a.x} ${a.y} ${arc} ${b.x} ${b.y} ${arc} ${a.x} ${a.y}`;
  }
  const closed = shape === 'outline' || shape === 'discs';
  return `${line(points)}${closed ? ' Z' : ''}${axis ? ` ${line(axis)}` : ''}`;
}
