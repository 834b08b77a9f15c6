import type { ViewId } from '@chordae/contract';
import { type BodyKind, probePlace } from '@chordae/figure';

/** Where the probe goes, from the side that is scanned; nothing for views that are looked for through all windows. */
export function ProbeDrawing({ view, kind, label }: { view: ViewId; kind: BodyKind; label: string }) {
  const place = probePlace(view, kind);
  if (!place) return null;
  const { width, height, strokeWidth, paths, labels, probe, markerDeg } = place;
  return (
    <svg className="sketch probe-drawing" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {paths.map((path) => (
        <path
          key={path.d}
          d={path.d}
          className={`sketch-${path.role}`}
          strokeWidth={path.role === 'dashed' ? 1 : strokeWidth}
        />
      ))}
      <g transform={`translate(${probe.x} ${probe.y}) rotate(${markerDeg})`} className="probe">
        <rect x="-13" y="-6" width="26" height="12" rx="5" />
        <circle cx="8" cy="0" r="2.5" />
        <path d="M17 0 H34 M29 -4 L34 0 L29 4" />
      </g>
      {labels.map((text) => (
        <text key={text.text} x={text.x} y={text.y} className="sketch-label">
          {text.text}
        </text>
      ))}
    </svg>
  );
}
