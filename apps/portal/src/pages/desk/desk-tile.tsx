import type { ClipRecord, FramePoint, MeasurementRecord } from '@chordae/contract';
import { formatNumber, viewNames } from '@chordae/words';
import type { PointerEvent } from 'react';
import { useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { Player } from '../../host/clips/use-player';
import { useClipFrames, usePlayer } from '../../host/clips/use-player';
import type { Camera, Size } from './canvas/camera';
import { fitCamera, toScreen, zoomAt } from './canvas/camera';
import type { Session } from './canvas/session';
import { handle } from './canvas/session';
import type { ToolEvent } from './canvas/tool';

export interface TileHandle extends Player {
  zoom(factor: number): void;
  fit(): void;
  tool(event: ToolEvent): void;
}

interface Props {
  readonly clip: ClipRecord;
  readonly url: string;
  readonly place: number;
  readonly chosen: boolean;
  /** The length tool's session on this tile; null when another tool or tile has it. */
  readonly session: Session | null;
  readonly lengths: readonly MeasurementRecord[];
  readonly onChoose: () => void;
  readonly onSession: (session: Session) => void;
  readonly register: (place: number, handle: TileHandle | null) => void;
}

/** One playing clip: picture below, what is drawn above. */
export function DeskTile({
  clip,
  url,
  place,
  chosen,
  session,
  lengths,
  onChoose,
  onSession,
  register,
}: Props) {
  const { frames, view } = useClipFrames(url);
  const player = usePlayer(view);
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const size = useSize(box);
  const [zoomed, setZoomed] = useState<Camera | null>(null);
  const frameSize = { width: view.widthPx, height: view.heightPx };
  const camera = zoomed ?? fitCamera(frameSize, size);
  const { frame } = player;
  const send = (event: ToolEvent) => {
    if (session) onSession(handle(session, event, { camera, frame }));
  };
  useEffect(() => setZoomed(null), [size.width, size.height, view.widthPx]);
  // After each paint, so that the tile that leaves this place cannot strike out the one that comes.
  useLayoutEffect(() => {
    register(place, {
      ...player,
      zoom: (factor) => setZoomed(zoomAt(camera, { sx: size.width / 2, sy: size.height / 2 }, factor)),
      fit: () => setZoomed(null),
      tool: send,
    });
  });
  useLayoutEffect(() => () => register(place, null), []);
  useEffect(() => {
    const bitmap = frames?.bitmap(frame);
    const context = canvas.current?.getContext('2d');
    if (!context || !bitmap || size.width === 0) return;
    const dense = globalThis.devicePixelRatio || 1;
    context.setTransform(dense, 0, 0, dense, 0, 0);
    context.fillStyle = '#0b0b0b';
    context.fillRect(0, 0, size.width, size.height);
    context.imageSmoothingEnabled = camera.scale < 2;
    context.drawImage(
      bitmap,
      camera.offsetX,
      camera.offsetY,
      view.widthPx * camera.scale,
      view.heightPx * camera.scale,
    );
  });
  const pointer = (kind: 'press' | 'move' | 'release') => (event: PointerEvent<HTMLDivElement>) => {
    if (kind === 'press') onChoose();
    if (!session) return;
    if (kind === 'press') event.currentTarget.setPointerCapture(event.pointerId);
    const area = event.currentTarget.getBoundingClientRect();
    send({ kind, at: { sx: event.clientX - area.left, sy: event.clientY - area.top } });
  };
  const dense = globalThis.devicePixelRatio || 1;
  const name = clip.view ? viewNames[clip.view] : 'view not named';
  return (
    <div className={chosen ? 'tile tile-chosen' : 'tile'}>
      <div
        ref={box}
        className={session ? 'tile-stage tile-measuring' : 'tile-stage'}
        data-testid={`tile-${place}`}
        data-frame={frame}
        data-playing={player.playing}
        onPointerDown={pointer('press')}
        onPointerMove={pointer('move')}
        onPointerUp={pointer('release')}
        onWheel={(event) =>
          setZoomed(
            zoomAt(
              camera,
              { sx: event.nativeEvent.offsetX, sy: event.nativeEvent.offsetY },
              event.deltaY < 0 ? 1.1 : 1 / 1.1,
            ),
          )
        }
      >
        <canvas
          ref={canvas}
          width={Math.max(1, Math.round(size.width * dense))}
          height={Math.max(1, Math.round(size.height * dense))}
          role="img"
          aria-label={`Tile ${place}: clip ${clip.number}, ${name}`}
        />
        <svg className="tile-layer" aria-hidden="true" width={size.width} height={size.height}>
          {lengths.map((m) =>
            m.geometry?.frame === frame ? (
              <Line
                key={m.id}
                camera={camera}
                points={m.geometry.points}
                label={`${formatNumber(m.value, 1)} mm`}
                faint
              />
            ) : null,
          )}
          {session?.document.length ? (
            <Line camera={camera} points={session.document.length.points} label="" />
          ) : null}
        </svg>
        {view.problem ? <p className="clip-problem">{view.problem}</p> : null}
      </div>
      <p className="tile-name">
        <kbd className="key">{place}</kbd>
        <button type="button" aria-pressed={chosen} onClick={onChoose}>
          Clip {clip.number}, {name}
        </button>
        <span className="player-count">
          {view.loaded < view.frameCount
            ? `loading ${view.loaded}/${view.frameCount}`
            : `${frame + 1}/${Math.max(1, view.frameCount)}`}
          {view.timesMs === null && view.frameCount > 1 ? ' · pace guessed' : ''}
        </span>
      </p>
    </div>
  );
}

function Line({
  camera,
  points,
  label,
  faint = false,
}: {
  camera: Camera;
  points: readonly FramePoint[];
  label: string;
  faint?: boolean;
}) {
  const [a, b] = points.map((p) => toScreen(camera, p));
  if (!a || !b) return null;
  return (
    <g className={faint ? 'drawn drawn-faint' : 'drawn'}>
      <line x1={a.sx} y1={a.sy} x2={b.sx} y2={b.sy} className="drawn-under" />
      <line x1={a.sx} y1={a.sy} x2={b.sx} y2={b.sy} />
      {[a, b].map((p) => (
        <path key={`${p.sx},${p.sy}`} d={`M${p.sx - 6} ${p.sy} h12 M${p.sx} ${p.sy - 6} v12`} />
      ))}
      {label ? (
        <text x={(a.sx + b.sx) / 2 + 8} y={(a.sy + b.sy) / 2 - 8}>
          {label}
        </text>
      ) : null}
    </g>
  );
}

function useSize(ref: { readonly current: HTMLElement | null }): Size {
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useEffect(() => {
    const element = ref.current;
    if (!element) return undefined;
    const watch = new ResizeObserver(([entry]) => {
      if (entry) setSize({ width: entry.contentRect.width, height: entry.contentRect.height });
    });
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  return size;
}
