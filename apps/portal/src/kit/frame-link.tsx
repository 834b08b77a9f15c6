import type { ClipRecord, MeasurementRecord } from '@chordae/contract';
import { formatWithUnit, measurementNames } from '@chordae/words';
import { createContext, useContext } from 'react';

export interface FramePlace {
  readonly clipId: string;
  readonly frame: number;
}

interface Frames {
  readonly measurements: readonly MeasurementRecord[];
  readonly clips: readonly ClipRecord[];
  readonly show: (place: FramePlace) => void;
}

/** Set where clips are open beside the numbers: then every number leads to the frame that it was measured on. */
const FramesContext = createContext<Frames | null>(null);
export const FramesProvider = FramesContext.Provider;

/** Where a measurement was drawn; null when it was typed or its clip is not here. */
export function placeOf(m: MeasurementRecord, clips: readonly ClipRecord[]): FramePlace | null {
  const clipId = m.geometry?.clipId ?? m.clipId;
  const frame = m.geometry?.frame ?? m.frame;
  if (clipId === null || frame === null) return null;
  return clips.some((clip) => clip.id === clipId) ? { clipId, frame } : null;
}

/** A number that opens its frame; plain text where it has none. */
export function FrameNumber({ m, struck = false }: { m: MeasurementRecord; struck?: boolean }) {
  const frames = useContext(FramesContext);
  const text = formatWithUnit(m.value, m.unit);
  const place = frames ? placeOf(m, frames.clips) : null;
  const shown = struck ? <s>{text}</s> : text;
  if (!frames || !place) return <span className="numbers">{shown}</span>;
  const clip = frames.clips.find((c) => c.id === place.clipId);
  return (
    <button
      type="button"
      className="number-link numbers"
      title={`Clip ${clip?.number ?? ''}, frame ${place.frame + 1}`}
      aria-label={`${measurementNames[m.code].short} ${text}: show frame ${place.frame + 1} of clip ${clip?.number ?? ''}`}
      onClick={() => frames.show(place)}
    >
      {shown}
    </button>
  );
}

/** The measurements that something rests on, each with its frame. */
export function RestsOn({ ids }: { ids: readonly string[] }) {
  const frames = useContext(FramesContext);
  if (!frames) return null;
  const found = frames.measurements.filter((m) => ids.includes(m.id));
  if (found.length === 0) return null;
  return (
    <p className="rests-on">
      Rests on{' '}
      {found.map((m, at) => (
        <span key={m.id}>
          {at > 0 ? ', ' : ''}
          {measurementNames[m.code].short} <FrameNumber m={m} />
        </span>
      ))}
    </p>
  );
}
