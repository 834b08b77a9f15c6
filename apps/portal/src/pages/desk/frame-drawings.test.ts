import type { MeasurementRecord } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { Reading } from './canvas/reading';
import { drawingsOn } from './frame-drawings';

const points = [
  { x: 10, y: 20 },
  { x: 30, y: 40 },
];
const kept = (parts: Partial<MeasurementRecord>, frame = 4): MeasurementRecord =>
  ({
    id: 'm',
    code: 'lvidd',
    value: 38.24,
    unit: 'mm',
    supersededById: null,
    withdrawn: false,
    geometry: { shape: 'length', points, clipId: 'a', frame, axis: null },
    ...parts,
  }) as unknown as MeasurementRecord;
const drawn = (frame: number): Reading =>
  ({
    shape: 'outline',
    clipId: 'a',
    frame,
    drawn: { shape: 'outline', points, axis: null },
    code: null,
  }) as unknown as Reading;

describe('what stands on a frame', () => {
  it('is what was kept there, named with its value, and what is drawn there now', () => {
    expect(drawingsOn([kept({})], [drawn(4)], { clipId: 'a', frame: 4 })).toEqual([
      { shape: 'length', points, axis: null, label: 'LVIDd 38.2 mm' },
      { shape: 'outline', points, axis: null, label: '' },
    ]);
  });

  it('leaves out other frames and clips, and what was replaced or taken back', () => {
    const all = [
      kept({}, 5),
      kept({ supersededById: 'x' }),
      kept({ withdrawn: true }),
      kept({ geometry: null }),
    ];
    expect(drawingsOn(all, [drawn(5)], { clipId: 'a', frame: 4 })).toEqual([]);
    expect(drawingsOn([kept({})], [], { clipId: 'b', frame: 4 })).toEqual([]);
  });
});
