import type { PhantomWish } from '@chordae/phantom';
import { renderCine } from '@chordae/phantom';
import { describe, expect, it } from 'vitest';
import { assessClip } from '../assess/assess-clip';
import type { GrayFrame } from '../gray-frame';

const wish: PhantomWish = {
  view: 'rps-long-4ch',
  species: 'dog',
  weightKg: 14,
  heart: 'normal',
  heartRate: 110,
  frameCount: 30,
  frameTimeMs: 30,
  words: null,
  widthPx: 320,
  heightPx: 240,
};

function frames(change: Partial<PhantomWish>, turn: (v: number) => number = (v) => v): GrayFrame[] {
  return renderCine({ ...wish, ...change }, 8).frames.map((luma) => ({
    widthPx: 320,
    heightPx: 240,
    luma: luma.map(turn),
  }));
}

const codes = (list: GrayFrame[], frameTimeMs = 30): string[] =>
  assessClip(list, { frameTimesMs: list.map((_, n) => n * frameTimeMs), view: 'rps-long-4ch' }).quality.map(
    (q) => q.code,
  );

describe('quality marks', () => {
  const plain = frames({});

  it('stay silent on a clip that suffices', () => {
    expect(codes(plain)).toEqual([]);
  });

  it('name gain that is far too low or too high', () => {
    expect(codes(plain.map((f) => ({ ...f, luma: f.luma.map((v) => 0.35 * v) })))).toContain('GAIN_LOW');
    const bright = (v: number): number => (v === 0 ? 0 : Math.min(255, 2.2 * v + 40));
    expect(codes(plain.map((f) => ({ ...f, luma: f.luma.map(bright) })))).toContain('GAIN_HIGH');
  });

  it('name few frames in a beat, and a loop too short to count', () => {
    expect(codes(frames({ heartRate: 220, frameTimeMs: 33 }), 33)).toContain('FRAMES_PER_BEAT_LOW');
    expect(codes(frames({ frameCount: 11 }))).toContain('LOOP_SHORT');
  });

  it('name frames that repeat, as on a filmed screen', () => {
    const doubled = plain.flatMap((f, n) => (n % 4 === 0 ? [f, f] : [f]));
    expect(codes(doubled)).toContain('FRAMES_REPEATED');
  });

  it('name a sector that reaches out of the picture', () => {
    expect(codes(frames({ fan: { zoom: 1.35 } }))).toContain('SECTOR_CLIPPED');
  });
});

describe('the heart rate', () => {
  it('comes from the R waves where the file has them, and is not given without times', () => {
    const list = frames({});
    const times = list.map((_, n) => 30 * n);
    const withTrace = assessClip(list, { frameTimesMs: times, rWaveTimesMs: [10, 510] });
    expect(withTrace.cycle.beatsPerMinute).toBeCloseTo(120, 6);
    expect(withTrace.cycle.endDiastoleFrames).toEqual([0, 17]);
    const without = assessClip(list, { frameTimesMs: null });
    expect(without.cycle.beatsPerMinute).toBeNull();
    expect(without.cycle.reasons).toContain('CYCLE_TIMES_UNKNOWN');
    expect(Math.abs((without.cycle.periodFrames ?? 0) / (60_000 / 110 / 30) - 1)).toBeLessThan(0.04);
  });
});

describe('text inside the sector', () => {
  it('is found by standing still, and only there', () => {
    const list = frames({ frameCount: 12 });
    const letters = list.map((f) => {
      const luma = f.luma.slice();
      // Five strokes of 2 × 9 px with gaps, as letters stand.
      for (let k = 0; k < 5; k += 1)
        for (let y = 150; y < 159; y += 1)
          for (let x = 0; x < 2; x += 1) luma[y * 320 + 130 + 7 * k + x] = 250;
      return { ...f, luma };
    });
    const [box] = assessClip(letters, { frameTimesMs: null }).sector.stillText;
    expect(box && box.x0 <= 131 && box.x1 >= 158 && box.y0 <= 151 && box.y1 >= 157).toBe(true);
    expect(assessClip(list, { frameTimesMs: null }).sector.stillText).toEqual([]);
  });
});
