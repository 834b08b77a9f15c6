import type { FramePoint, MeasurementRecord } from '@chordae/contract';
import { regionAt } from '@chordae/measurement';
import { formatNumber } from '@chordae/words';
import { memo, useEffect, useLayoutEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react';
import { cycleOf } from '../../host/clips/beats';
import { useExactFrame } from '../../host/clips/exact-frames';
import type { Greys } from '../../host/clips/greys';
import type { StageClock } from '../../host/clips/stage-clock';
import { useFrameSource } from '../../host/clips/use-frame-source';
import type { Camera, Size } from './canvas/camera';
import { fitCamera, pan, zoomAt } from './canvas/camera';
import { currentOf } from './canvas/drawing';
import { handlesOf } from './canvas/editing';
import type { ClipsById } from './canvas/reading';
import { regionsOf } from './canvas/reading';
import type { Place, Session } from './canvas/session';
import type { ToolEvent } from './canvas/tool';
import type { StageClip } from './stage-clip';
import { TileDrawings } from './tile-drawings';
import { paintTile } from './tile-paint';
import { TileScrub } from './tile-scrub';
import { useHand } from './use-hand';

/** What the stage may ask of a tile. */
export interface TileHandle {
  zoom(factor: number): void;
  fit(): void;
  pan(dx: number, dy: number): void;
  place(): Place;
}

export interface TileProps {
  readonly shown: StageClip;
  readonly place: number;
  readonly species: string;
  readonly chosen: boolean;
  readonly clock: StageClock;
  /** The tool at work, where it may draw on this tile. */
  readonly session: Session | null;
  readonly clips: ClipsById;
  readonly measured: readonly MeasurementRecord[];
  readonly greys: Greys;
  readonly rulerRows: { readonly x: number; readonly rows: readonly number[] } | null;
  readonly onChoose: (place: number) => void;
  readonly onTool: (event: ToolEvent, at: Place) => void;
  readonly panning: () => boolean;
  readonly register: (place: number, handle: TileHandle | null) => void;
}

/** The point that a tool has under the hand, for the magnifier. */
function underHand(session: Session | null, clipId: string, frame: number): FramePoint | null {
  if (!session) return null;
  const { state } = session;
  const drawing = currentOf(session.document);
  if (state.name === 'placing' || state.name === 'dragging') return state.cross;
  if (state.name === 'idle') return state.cross;
  const part = state.name === 'editing' ? drawing?.parts[state.part] : drawing?.parts.find((p) => !p.done);
  if (!part || part.clipId !== clipId || part.frame !== frame) return null;
  return (state.name === 'editing' ? handlesOf(part)[state.point] : part.points.at(-1)) ?? null;
}

/** One playing clip: picture below, what is drawn above, the loop under it. */
export const DeskTile = memo(function DeskTile(props: TileProps) {
  const { shown, place, chosen, clock, session, clips, greys, register } = props;
  const { source, view } = useFrameSource(shown, props.species);
  const { playing } = useSyncExternalStore(clock.subscribe, clock.read);
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const count = useRef<HTMLSpanElement>(null);
  const cursor = useRef<HTMLDivElement>(null);
  const size = useSize(box);
  const [zoomed, setZoomed] = useState<Camera | null>(null);
  const camera = zoomed ?? fitCamera({ width: view.widthPx, height: view.heightPx }, size);
  const frame = clock.frameOf(place);
  const held = !playing || view.frameCount < 2;
  const speed = clock.speedOf(place);
  const exactUrl = session && held && shown.frameUrl ? shown.frameUrl(frame) : null;
  const exact = useExactFrame(exactUrl);
  const loupe = session ? underHand(session, shown.id, frame) : null;
  const times = view.timesMs ?? shown.cycle.times;
  const cycle = useMemo(() => cycleOf({ ...shown.cycle, times }), [shown.cycle, times]);

  const paint = useRef<(frame: number) => boolean>(() => false);
  paint.current = (due) => {
    if (count.current) count.current.textContent = `${due + 1}/${Math.max(1, view.frameCount)}`;
    if (cursor.current) cursor.current.style.left = `${(100 * due) / Math.max(1, view.frameCount - 1)}%`;
    const bitmap = (due === frame ? exact.bitmap : null) ?? source?.bitmap(due);
    if (!canvas.current || !bitmap || size.width === 0) return false;
    if (box.current) box.current.dataset['frame'] = String(due);
    paintTile(canvas.current, { source: bitmap, camera, size, greys, loupe });
    return true;
  };
  const at: Place = {
    camera,
    tile: size,
    clipId: shown.id,
    frame,
    overTime: (p) => regionAt(regionsOf(clips, shown.id), p)?.unitX === 's',
  };
  const ready = view.frameCount > 0 && view.loaded === view.frameCount;
  // The case is read again now and then: the loops begin anew only when a beat is another one.
  const beats = cycle.beats.map((b) => `${b.from}-${b.to}`).join(' ');
  useEffect(() => setZoomed(null), [size.width, size.height, view.widthPx]);
  useEffect(() => {
    if (!ready) return;
    const track = { times: times.slice(0, view.frameCount), beats: cycle.beats };
    clock.set(place, { track, paint: (due) => paint.current(due) });
  }, [clock, place, ready, beats, view.frameCount]);
  useEffect(() => () => clock.set(place, null), [clock, place]);
  useEffect(
    () => source?.whenDecoded((n) => n === clock.frameOf(place) && paint.current(n)),
    [source, clock, place],
  );
  // After each change of the page; while clips play, the clock paints by itself.
  useLayoutEffect(() => {
    paint.current(clock.frameOf(place));
    register(place, {
      zoom: (factor) => setZoomed(zoomAt(camera, { sx: size.width / 2, sy: size.height / 2 }, factor)),
      fit: () => setZoomed(null),
      pan: (dx, dy) => setZoomed(pan(camera, dx, dy)),
      place: () => at,
    });
  });
  useLayoutEffect(() => () => register(place, null), [place, register]);

  // Nothing is drawn on a picture that is not there.
  const hand = useHand(props, at, view.widthPx > 0, setZoomed);
  const dense = globalThis.devicePixelRatio || 1;
  return (
    <div className={chosen ? 'tile tile-chosen' : 'tile'} data-kind={shown.kind}>
      <div
        ref={box}
        className={session ? 'tile-stage tile-measuring' : 'tile-stage'}
        data-testid={`tile-${place}`}
        data-playing={playing}
        {...hand}
      >
        <canvas
          ref={canvas}
          width={Math.round(size.width * dense) || 4}
          height={Math.round(size.height * dense) || 3}
          role="img"
          aria-label={`Tile ${place}: ${shown.name}${shown.note ? `, ${shown.note}` : ''}`}
        />
        {held ? (
          <TileDrawings
            camera={camera}
            width={size.width}
            height={size.height}
            shown={shown}
            frame={frame}
            session={session}
            measured={props.measured}
            rulerRows={props.rulerRows}
          />
        ) : null}
        {shown.note ? <p className="tile-note">{shown.note}</p> : null}
        {view.problem ? <p className="clip-problem">{view.problem}</p> : null}
      </div>
      {view.frameCount > 1 ? (
        <TileScrub
          cycle={cycle}
          count={view.frameCount}
          cursor={cursor}
          label={shown.name}
          onGo={(to) => {
            props.onChoose(place);
            clock.goTo(place, to);
          }}
        />
      ) : null}
      <p className="tile-name">
        <kbd className="key">{place}</kbd>
        <button type="button" aria-pressed={chosen} onClick={() => props.onChoose(place)}>
          {shown.name}
        </button>
        <span className="player-count">
          {ready || view.frameCount === 0 ? '' : `loading ${view.loaded}/${view.frameCount} · `}
          <span ref={count} />
          {exact.state === 'exact'
            ? ' · exact pixels'
            : exact.state === 'failed'
              ? ' · pixels as played'
              : ''}
          {view.timesMs === null && view.frameCount > 1 ? ' · pace guessed' : ''}
          {speed < 0.995 ? ` · ${formatNumber(speed, 2)} of true speed` : ''}
        </span>
      </p>
    </div>
  );
});

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
  }, [ref]);
  return size;
}
