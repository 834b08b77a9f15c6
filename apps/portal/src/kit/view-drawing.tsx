import type { ViewCompleteness, ViewId } from '@chordae/contract';
import { viewDrawing } from '@chordae/figure';
import { useId } from 'react';

/** A standard view as a line drawing: filled when adequate, dotted when received, hatched when doubtful, outline when missing. */
export function ViewSketch({
  view,
  state = 'adequate',
}: {
  view: ViewId;
  state?: ViewCompleteness['state'];
}) {
  const id = useId().replace(/:/g, '');
  const { width, height, strokeWidth, paths, labels } = viewDrawing(view);
  const sector = paths.find((p) => p.role === 'sector');
  const fill = { adequate: 'var(--drawn)', received: `url(#${id}d)`, doubtful: `url(#${id}h)` }[
    state as string
  ];
  return (
    <svg className={`sketch sketch-${state}`} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      <defs>
        <pattern id={`${id}d`} width="9" height="9" patternUnits="userSpaceOnUse">
          <circle cx="3" cy="3" r="1.3" className="sketch-dot" />
        </pattern>
        <pattern
          id={`${id}h`}
          width="9"
          height="9"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line x1="0" y1="0" x2="0" y2="9" className="sketch-hatch" />
        </pattern>
      </defs>
      {sector && fill ? <path d={sector.d} style={{ fill, stroke: 'none' }} /> : null}
      {paths.map((path) => (
        <path key={path.d} d={path.d} className={`sketch-${path.role}`} strokeWidth={strokeWidth} />
      ))}
      {labels.map((label) => (
        <text key={label.text + label.x} x={label.x} y={label.y} className="sketch-label">
          {label.text}
        </text>
      ))}
    </svg>
  );
}
