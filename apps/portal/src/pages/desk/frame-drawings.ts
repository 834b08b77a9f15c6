import type { FrameDrawing, MeasurementRecord } from '@chordae/contract';
import { measurementNames, sayDrawn } from '@chordae/words';
import type { Reading } from './canvas/reading';

/** As many as an opinion keeps on one frame. */
const MOST = 12;
const MOST_LABEL = 60;

/**
 * What stands on a frame, for the opinion: kept measurements with their names and values, then what is drawn now. A kept
 * value that was taken back or replaced is not on it.
 */
export function drawingsOn(
  measurements: readonly MeasurementRecord[],
  drawnNow: readonly Reading[],
  at: { readonly clipId: string; readonly frame: number },
): FrameDrawing[] {
  const kept = measurements.flatMap((m): FrameDrawing[] => {
    const g = m.geometry;
    if (!g || m.supersededById || m.withdrawn || g.clipId !== at.clipId || g.frame !== at.frame) return [];
    const label = `${measurementNames[m.code].short} ${sayDrawn(m.value, m.unit)}`;
    return [{ shape: g.shape, points: [...g.points], axis: g.axis, label: label.slice(0, MOST_LABEL) }];
  });
  const now = drawnNow.flatMap((reading): FrameDrawing[] => {
    if (reading.clipId !== at.clipId || reading.frame !== at.frame || reading.drawn.points.length === 0)
      return [];
    const { axis } = reading.drawn;
    return [
      {
        shape: reading.shape,
        points: [...reading.drawn.points],
        axis: axis ? [axis[0], axis[1]] : null,
        label: reading.code ? measurementNames[reading.code].short : '',
      },
    ];
  });
  return [...kept, ...now].slice(0, MOST);
}
