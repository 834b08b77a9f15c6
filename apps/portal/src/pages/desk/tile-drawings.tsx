import type { MeasurementRecord } from '@chordae/contract';
import { regionAt } from '@chordae/measurement';
import { measurementNames, sayDrawn } from '@chordae/words';
import type { Camera } from './canvas/camera';
import { toScreen } from './canvas/camera';
import type { Drawing } from './canvas/drawing';
import { crosses, shapePath } from './canvas/paths';
import { regionsOf, SHAPE_OF } from './canvas/reading';
import type { Session } from './canvas/session';
import { depthMarks } from './depth-marks';
import { type DrawnLabel, placeLabels } from './place-labels';
import type { StageClip } from './stage-clip';

interface Props {
  readonly camera: Camera;
  readonly width: number;
  readonly height: number;
  readonly shown: StageClip;
  readonly frame: number;
  readonly session: Session | null;
  readonly measured: readonly MeasurementRecord[];
  /** Marks of a found ruler, to be looked at before it is agreed to. */
  readonly rulerRows: { readonly x: number; readonly rows: readonly number[] } | null;
}

/** What is drawn over the held frame: measurements that stand, faint, and what is being drawn. */
export function TileDrawings({ camera, width, height, shown, frame, session, measured, rulerRows }: Props) {
  return (
    <svg className="tile-layer" aria-hidden="true" width={width} height={height}>
      <Depth camera={camera} shown={shown} />
      <Kept measured={measured} clipId={shown.id} frame={frame} camera={camera} />
      {session?.document.drawings.map((d) => (
        <Current key={d.id} drawing={d} session={session} shown={shown} frame={frame} camera={camera} />
      ))}
      {rulerRows ? (
        <g className="drawn">
          <path
            d={rulerRows.rows
              .map((y) => toScreen(camera, { x: rulerRows.x, y }))
              .map(({ sx, sy }) => `M${sx - 14} ${sy} h28`)
              .join(' ')}
          />
        </g>
      ) : null}
    </svg>
  );
}

/** The ruler of each calibrated 2D part, from its calibration: the machine's own may be covered. */
function Depth({ camera, shown }: { camera: Camera; shown: StageClip }) {
  const marks = regionsOf(new Map([[shown.id, shown.measured]]), shown.id).flatMap(depthMarks);
  if (marks.length === 0) return null;
  const at = marks.map((mark) => ({ ...mark, ...toScreen(camera, mark) }));
  return (
    <g className="drawn drawn-depth">
      <path d={at.map(({ sx, sy, cm }) => `M${sx} ${sy} h${cm === null ? -5 : -9}`).join(' ')} />
      {at.map(({ sx, sy, cm }) =>
        cm === null ? null : (
          <text key={`${sx} ${sy}`} x={sx - 12} y={sy + 4}>
            {cm === 0 ? '0 cm' : cm}
          </text>
        ),
      )}
    </g>
  );
}

/** Measurements of this frame, each with its value where no other is written. */
function Kept({
  measured,
  clipId,
  frame,
  camera,
}: {
  measured: readonly MeasurementRecord[];
  clipId: string;
  frame: number;
  camera: Camera;
}) {
  const drawn = measured.flatMap((m) => drawnHere(m, clipId, frame, camera) ?? []);
  const labels = placeLabels(drawn.map((d) => d.label));
  return drawn.map(({ id, d }, n) => (
    <g className="drawn drawn-faint" key={id}>
      <path className="drawn-under" d={d} />
      <path d={d} />
      <text x={labels[n]?.x} y={labels[n]?.y}>
        {labels[n]?.text}
      </text>
    </g>
  ));
}

function drawnHere(
  m: MeasurementRecord,
  clipId: string,
  frame: number,
  camera: Camera,
): { readonly id: string; readonly d: string; readonly label: DrawnLabel } | null {
  const g = m.geometry;
  const here = g ? [g, g.second].find((p) => p?.clipId === clipId && p.frame === frame) : null;
  const first = here?.points[0];
  if (!g || !here || !first) return null;
  const d =
    shapePath(camera, g.shape, here.points, here.axis, here.scale.y / here.scale.x) +
    crosses(camera, g.shape === 'velocity' ? here.points : [], 7);
  const at = toScreen(camera, here.points[Math.floor(here.points.length / 2)] ?? first);
  const text = `${measurementNames[m.code].short} ${sayDrawn(m.value, m.unit)}`;
  return { id: m.id, d, label: { x: at.sx + 8, y: at.sy - 8, text } };
}

function Current({
  drawing,
  session,
  shown,
  frame,
  camera,
}: {
  drawing: Drawing;
  session: Session;
  shown: StageClip;
  frame: number;
  camera: Camera;
}) {
  const { state } = session;
  const shape =
    drawing.tool === 'calibration'
      ? 'length'
      : drawing.tool === 'cavity'
        ? 'outline'
        : SHAPE_OF[drawing.tool];
  const clips = new Map([[shown.id, shown.measured]]);
  return drawing.parts.map((part, n) => {
    if (part.clipId !== shown.id || part.frame !== frame) return null;
    const cross = 'cross' in state && !part.done ? state.cross : null;
    const points = cross ? [...part.points, cross] : part.points;
    const first = points[0];
    const region = first ? regionAt(regionsOf(clips, shown.id), first) : null;
    const aspect = region ? Math.abs(region.deltaY / region.deltaX) || 1 : 1;
    const open = part.done ? shape : shape === 'outline' || shape === 'discs' ? 'trace' : shape;
    const lines =
      drawing.tool === 'lv-set'
        ? bordersPath(camera, points)
        : shapePath(camera, open, points, part.axis, aspect);
    const stroke = part.points.length > 12;
    const taken = state.name === 'editing' && state.part === n ? state.point : -1;
    const handles = part.axis ? [...part.points, part.axis[1]] : part.points;
    const marks = stroke ? handles.filter((_, k) => k === taken || k >= part.points.length) : points;
    const d = `${lines} ${crosses(camera, marks, 6)}`;
    const held = handles[taken];
    const at = held ? toScreen(camera, held) : null;
    return (
      // Parts are put one after the other and never change places.
      <g className="drawn" key={`${drawing.id}-${n}`}>
        <path className="drawn-under" d={d} />
        <path d={d} />
        {at ? <circle className="drawn-held" cx={at.sx} cy={at.sy} r={9} /> : null}
      </g>
    );
  });
}

/** Borders of a set as short level lines, joined by one upright. */
function bordersPath(camera: Camera, points: Drawing['parts'][number]['points']): string {
  const at = points.map((p) => toScreen(camera, p));
  const upright = at.map((p, n) => `${n === 0 ? 'M' : 'L'}${p.sx} ${p.sy}`).join(' ');
  return `${at.length > 1 ? upright : ''} ${at.map((p) => `M${p.sx - 16} ${p.sy} h32`).join(' ')}`;
}
