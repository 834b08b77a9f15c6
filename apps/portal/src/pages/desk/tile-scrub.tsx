import type { PointerEvent, RefObject } from 'react';
import type { ClipCycle, Moment } from '../../host/clips/beats';

/** Where one is in the loop: pressing goes there; ticks are the moments of the cycle, filled where a person marked them. */
export function TileScrub({
  cycle,
  count,
  cursor,
  label,
  onGo,
}: {
  cycle: ClipCycle;
  count: number;
  /** Moved by the clock itself, without drawing the page anew. */
  cursor: RefObject<HTMLDivElement | null>;
  label: string;
  onGo: (frame: number) => void;
}) {
  const go = (event: PointerEvent<HTMLDivElement>) => {
    if (event.type === 'pointermove' && event.buttons === 0) return;
    const area = event.currentTarget.getBoundingClientRect();
    const share = (event.clientX - area.left) / Math.max(1, area.width);
    onGo(Math.round(Math.min(1, Math.max(0, share)) * (count - 1)));
  };
  return (
    <div
      className="scrub"
      aria-hidden="true"
      title={label}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        go(event);
      }}
      onPointerMove={go}
    >
      <div className="scrub-line" />
      {cycle.endDiastole.map((m) => (
        <Tick key={`d${m.frame}`} moment={m} count={count} words="D" />
      ))}
      {cycle.endSystole.map((m) => (
        <Tick key={`s${m.frame}`} moment={m} count={count} words="S" />
      ))}
      <div className="scrub-cursor" ref={cursor} />
    </div>
  );
}

function Tick({ moment, count, words }: { moment: Moment; count: number; words: string }) {
  const look = moment.from === 'marked' ? 'moment-filled' : 'moment-hollow';
  return (
    <span
      className={`moment moment-${words} ${look}`}
      style={{ left: `${(100 * moment.frame) / Math.max(1, count - 1)}%` }}
    >
      {words}
    </span>
  );
}
