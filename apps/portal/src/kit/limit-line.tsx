import type { IndexResult } from '@chordae/contract';
import { type Figure, limitLine, type Shape } from '@chordae/figure';

function Drawn({ shape }: { shape: Shape }) {
  const tone = `tone-${shape.tone}`;
  switch (shape.kind) {
    case 'line':
      return (
        <line
          className={tone}
          x1={shape.x1}
          y1={shape.y1}
          x2={shape.x2}
          y2={shape.y2}
          strokeWidth={shape.width}
          strokeDasharray={shape.dash?.join(' ')}
        />
      );
    case 'rect':
      return (
        <rect
          className={`${tone} ${shape.filled ? 'filled' : 'hollow'}`}
          x={shape.x}
          y={shape.y}
          width={Math.max(0, shape.width)}
          height={shape.height}
        />
      );
    case 'tick':
      return (
        <line
          className={tone}
          x1={shape.x}
          x2={shape.x}
          y1={shape.y1}
          y2={shape.y2}
          strokeWidth={shape.width}
        />
      );
    case 'mark':
      return <Mark shape={shape} />;
    default:
      return (
        <text
          className={`${tone} ${shape.weight === 'strong' ? 'text-strong' : ''}`}
          x={shape.x}
          y={shape.y}
          fontSize={shape.size}
          textAnchor={shape.anchor}
        >
          {shape.text}
        </text>
      );
  }
}

function Mark({ shape }: { shape: Extract<Shape, { kind: 'mark' }> }) {
  const { x, y } = shape;
  const half = shape.size / 2;
  const name = `tone-${shape.tone} ${shape.filled ? 'filled' : 'hollow'}`;
  if (shape.form === 'circle') return <circle className={name} cx={x} cy={y} r={half} />;
  return (
    <path className={name} d={`M${x} ${y - half} L${x + half} ${y} L${x} ${y + half} L${x - half} ${y} Z`} />
  );
}

export function FigureSvg({ figure, label }: { figure: Figure; label: string }) {
  return (
    <svg
      className="figure"
      viewBox={`0 0 ${figure.width} ${figure.height}`}
      width={figure.width}
      height={figure.height}
      role="img"
      aria-label={label}
    >
      {figure.shapes.map((shape, at) => (
        // Shapes have no identity of their own: their place is it.
        <Drawn key={`${shape.kind}-${at}`} shape={shape} />
      ))}
    </svg>
  );
}

/** One index on its published limit. The sentence says the same in words. */
export function LimitLine({
  index,
  label,
  width = 320,
  earlier = [],
}: {
  index: IndexResult;
  label: string;
  width?: number;
  /** Values of earlier scans, oldest first. */
  earlier?: readonly { value: number }[];
}) {
  return <FigureSvg figure={limitLine({ index, width, earlier })} label={label} />;
}
