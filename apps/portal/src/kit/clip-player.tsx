import type { ReactNode } from 'react';
import type { FramesView } from '../host/clips/clip-frames';
import type { FrameSource } from '../host/clips/frame-source';
import { useClipFrames, usePlayer } from '../host/clips/use-player';
import { Button } from './button';
import { ClipCanvas } from './clip-canvas';

/** The first frame of a clip, small. */
export function ClipStill({ url, label }: { url: string; label: string }) {
  const { frames, view } = useClipFrames(url, true);
  if (view.problem) return <p className="clip-problem">{view.problem}</p>;
  return (
    <ClipCanvas
      frames={frames}
      frame={0}
      loaded={view.loaded}
      widthPx={view.widthPx}
      heightPx={view.heightPx}
      label={label}
    />
  );
}

/** What may be done with the frame that is shown; `hold` stops the playing on it. */
export type Tools = (frame: number, hold: () => void) => ReactNode;

/** Plays a clip at its true speed; space plays and holds, arrows step. */
export function ClipPlayer({
  url,
  label,
  over,
  tools,
}: {
  url: string;
  label: string;
  over?: ReactNode;
  tools?: Tools;
}) {
  const { frames, view } = useClipFrames(url);
  return <FramesPlayer frames={frames} view={view} label={label} over={over} {...(tools ? { tools } : {})} />;
}

/** The same for frames from anywhere: a drawn example has no address. */
export function FramesPlayer({
  frames,
  view,
  label,
  over,
  tools,
}: {
  frames: FrameSource | null;
  view: FramesView;
  label: string;
  over?: ReactNode;
  tools?: Tools;
}) {
  const player = usePlayer(view);
  const moving = view.frameCount > 1;
  return (
    <figure
      className="player"
      onKeyDown={(event) => {
        const inButton = (event.target as HTMLElement).tagName === 'BUTTON';
        if (event.key === ' ' && !inButton) player.toggle();
        else if (event.key === 'ArrowRight') player.step(1);
        else if (event.key === 'ArrowLeft') player.step(-1);
        else return;
        event.preventDefault();
      }}
    >
      <div className="player-stage">
        <ClipCanvas
          frames={frames}
          frame={player.frame}
          loaded={view.loaded}
          widthPx={view.widthPx}
          heightPx={view.heightPx}
          label={label}
        />
        {over}
        {view.problem ? <p className="clip-problem">{view.problem}</p> : null}
      </div>
      {moving ? (
        <figcaption className="player-bar">
          <Button look="quiet" onClick={() => player.toggle()} keyHint="space">
            {player.playing ? 'Hold' : 'Play'}
          </Button>
          <Button look="quiet" onClick={() => player.step(-1)} keyHint="←">
            Frame back
          </Button>
          <Button look="quiet" onClick={() => player.step(1)} keyHint="→">
            Frame on
          </Button>
          <span className="player-count">
            {view.loaded < view.frameCount
              ? `loading ${view.loaded} of ${view.frameCount}`
              : `frame ${player.frame + 1} of ${view.frameCount}`}
            {view.timesMs === null ? ' · pace guessed, not for timing' : ''}
          </span>
        </figcaption>
      ) : null}
      {tools?.(player.frame, () => player.hold())}
    </figure>
  );
}
