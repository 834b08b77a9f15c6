import type { ClipStatementRecord, Region } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { currentOf } from './drawing';
import type { MeasuredClip } from './reading';
import { geometryOf, methodOf, readingsOf, scaleSaid } from './reading';
import { beginSession } from './session';
import { Hand } from './testing';

const twoD: Region = {
  x0: 0,
  y0: 0,
  x1: 799,
  y1: 599,
  kind: '2d',
  unitX: 'cm',
  unitY: 'cm',
  deltaX: 0.02,
  deltaY: 0.02,
  referenceX: null,
  referenceY: null,
  referenceValueX: null,
  referenceValueY: null,
  highPriority: true,
  protectedScale: true,
  usable: true,
  whyNot: null,
};
const clip = (
  id: string,
  regions: Region[],
  calibration: MeasuredClip['calibration'] = null,
): MeasuredClip => ({
  id,
  description: { widthPx: 800, heightPx: 600, regions },
  calibration,
});
const clips = (...all: MeasuredClip[]) => new Map(all.map((c) => [c.id, c]));
const drawn = (hand: Hand) => {
  const drawing = currentOf(hand.session.document);
  if (!drawing) throw new Error('nothing drawn');
  return drawing;
};
const firstValue = (r: ReturnType<typeof readingsOf>[number] | undefined) => {
  if (!r) return undefined;
  return r.values.ok ? r.values.value[0]?.value : r.values.finding;
};

describe('what a drawing says', () => {
  it('is a length with its geometry and scale, as the file calibrates it', () => {
    const hand = new Hand(beginSession('length')).drag([50, 50], [50, 100]);
    const scaled = clips(clip('c1', [twoD]));
    const [only] = readingsOf(drawn(hand), scaled);
    expect(firstValue(only)).toBeCloseTo(20, 9);
    if (!only) throw new Error('no reading');
    expect(methodOf(only, scaled)).toBe('2d');
    expect(geometryOf(only, scaled)).toEqual({
      shape: 'length',
      points: [
        { x: 100, y: 100 },
        { x: 100, y: 200 },
      ],
      clipId: 'c1',
      frame: 7,
      scale: { x: 0.02, unitX: 'cm', y: 0.02, unitY: 'cm', baselineY: null },
      axis: null,
      calibration: 'region of the file (2d)',
      second: null,
    });
  });

  it('follows the cross before the last point is put', () => {
    const hand = new Hand(beginSession('length')).click(50, 50).move(50, 80);
    const cross = hand.session.state.name === 'placing' ? hand.session.state.cross : null;
    expect(firstValue(readingsOf(drawn(hand), clips(clip('c1', [twoD])), cross)[0])).toBeCloseTo(12, 9);
  });

  it('says no millimetre and keeps nothing without a scale, until a person gives one', () => {
    const hand = new Hand(beginSession('length')).drag([50, 50], [50, 100]);
    const bare = clips(clip('c1', []));
    const [none] = readingsOf(drawn(hand), bare);
    expect(firstValue(none)).toBe('CALIBRATION_MISSING');
    expect(none && geometryOf(none, bare)).toBeNull();
    const said = clips(clip('c1', [], { cmPerPixel: 0.05, from: 'two-points' }));
    const [some] = readingsOf(drawn(hand), said);
    expect(firstValue(some)).toBeCloseTo(50, 9);
    expect(some && geometryOf(some, said)?.calibration).toBe("a person's two points");
  });

  it('names the lengths of a pair and of a set', () => {
    const pair = new Hand(beginSession('pair')).drag([50, 50], [50, 90]).drag([120, 60], [120, 80]);
    expect(readingsOf(drawn(pair), clips(clip('c1', [twoD]))).map((r) => [r.code, firstValue(r)])).toEqual([
      ['la-sax', expect.closeTo(16, 9)],
      ['ao-sax', expect.closeTo(8, 9)],
    ]);
    const mMode: Region = { ...twoD, kind: 'm-mode', unitX: 's', deltaX: 0.004, deltaY: 0.05 };
    const set = new Hand(beginSession('lv-set'));
    set.place = { ...set.place, overTime: () => true };
    set.click(60, 50).click(63, 60).click(58, 110).click(60, 125).click(90, 52).click(91, 66);
    expect(readingsOf(drawn(set), clips(clip('c1', [mMode]))).map((r) => [r.code, firstValue(r)])).toEqual([
      ['ivsd', expect.closeTo(10, 9)],
      ['lvidd', expect.closeTo(50, 9)],
      ['lvwd', expect.closeTo(15, 9)],
      ['ivss', expect.closeTo(14, 9)],
    ]);
  });

  it('gives the ratio of a pair, and the shortening of a set, where there is no scale', () => {
    const bare = clips(clip('c1', []));
    const half = new Hand(beginSession('pair')).drag([50, 50], [50, 90]);
    expect(readingsOf(drawn(half), bare)).toEqual([]);
    const pair = half.drag([120, 60], [120, 80]);
    const [ratio, ...more] = readingsOf(drawn(pair), bare);
    expect([ratio?.code, firstValue(ratio), more.length]).toEqual(['la-ao-ratio', expect.closeTo(2, 9), 0]);
    expect(ratio && geometryOf(ratio, bare)).toMatchObject({
      shape: 'ratio',
      calibration: 'none: two lengths in pixels',
      points: [
        { x: 100, y: 100 },
        { x: 100, y: 180 },
      ],
      second: { clipId: 'c1', frame: 7 },
    });
    expect(ratio && methodOf(ratio, bare)).toBe('2d');
    const set = new Hand(beginSession('lv-set'));
    set.click(60, 50).click(60, 60).click(60, 110).click(60, 125).onFrame(15);
    set.click(90, 52).click(90, 66).click(90, 96);
    const [shorter] = readingsOf(drawn(set), bare);
    expect(shorter?.code).toBe('fs-ratio');
    expect(shorter?.values.ok && shorter.values.value[1]?.value).toBeCloseTo(40, 9);
    expect(shorter && geometryOf(shorter, bare)?.second).toMatchObject({ frame: 15 });
  });

  it('takes both planes of a volume with their own clips', () => {
    const bowl = (r: number) =>
      Array.from({ length: 31 }, (_, k) => {
        const turn = -Math.PI / 2 + (Math.PI * k) / 30;
        return [100 + 100 * Math.cos(turn), 150 + r * Math.sin(turn)] as const;
      });
    const hand = new Hand(beginSession('discs-two'))
      .drag(...bowl(40))
      .onFrame(3, 'c2')
      .drag(...bowl(30));
    const both = clips(clip('c1', [twoD]), clip('c2', [twoD]));
    const [volume] = readingsOf(drawn(hand), both);
    expect(firstValue(volume)).toBeGreaterThan(5);
    expect(volume && geometryOf(volume, both)?.second).toMatchObject({ clipId: 'c2', frame: 3 });
    const lone = readingsOf(drawn(hand), clips(clip('c1', [twoD]), clip('c2', [])));
    expect(firstValue(lone[0])).toBe('CALIBRATION_MISSING');
  });
});

describe("a person's calibration", () => {
  const said = (cmPerPixel: number, side: 'sender' | 'reader', at: string): ClipStatementRecord => ({
    id: at,
    clipId: 'c1',
    side,
    by: 'somebody',
    at,
    statement: { kind: 'calibration', cmPerPixel, from: 'ruler', points: null, distanceMm: null },
  });
  it("is the newest that was said, a reader's before a sender's", () => {
    const all = [
      said(0.1, 'reader', '2026-01-01'),
      said(0.2, 'reader', '2026-01-02'),
      said(0.3, 'sender', '2026-01-03'),
    ];
    expect(scaleSaid(all, 'c1')).toEqual({ calibration: { cmPerPixel: 0.2, from: 'ruler' } });
    expect(scaleSaid(all.slice(2), 'c1').calibration).toEqual({ cmPerPixel: 0.3, from: 'ruler' });
    expect(scaleSaid(all, 'c2').calibration).toBeNull();
  });
});
