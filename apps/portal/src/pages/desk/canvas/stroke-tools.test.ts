import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ToolId } from './drawing';
import { axisOf, pulled, thinned } from './pull';
import { beginSession, beginWith } from './session';
import { MOST_POINTS } from './stroke-tool/line';
import { Hand } from './testing';

const handWith = (tool: ToolId) => new Hand(beginSession(tool));
type Path = readonly (readonly [number, number])[];
/** Round a centre on the screen. */
const ring = (cx: number, cy: number, r: number, n = 40): Path =>
  Array.from({ length: n }, (_, k) => {
    const turn = (2 * Math.PI * k) / n;
    return [cx + r * Math.cos(turn), cy + r * Math.sin(turn)] as const;
  });
/** From one side of a base at the left, round the far end at the right, to the other side. */
const bowl = (cx: number, cy: number, a: number, b: number, n = 30): Path =>
  Array.from({ length: n + 1 }, (_, k) => {
    const turn = -Math.PI / 2 + (Math.PI * k) / n;
    return [cx + a * Math.cos(turn), cy + b * Math.sin(turn)] as const;
  });

describe('the outline tool', () => {
  it('draws by hand in one go and is closed when let go', () => {
    const hand = handWith('outline').drag(...ring(200, 150, 60));
    expect(hand.state).toBe('editing');
    expect(hand.parts[0]?.done).toBe(true);
    expect(hand.points[0]?.length).toBeGreaterThan(30);
    expect(hand.points[0]?.[0]).toEqual({ x: 520, y: 300 });
  });

  it('draws by clicks and closes on the first point', () => {
    const hand = handWith('outline').click(100, 100).click(200, 100).click(200, 200);
    expect(hand.state).toBe('placing');
    hand.press(103, 102);
    expect(hand.points).toEqual([
      [
        { x: 200, y: 200 },
        { x: 400, y: 200 },
        { x: 400, y: 400 },
      ],
    ]);
    expect(hand.state).toBe('editing');
  });

  it('draws by keyboard and ends when completed, not before it has three points', () => {
    const hand = handWith('outline').key('put').key('put').nudge(50, 0).key('put').key('complete');
    expect(hand.state).toBe('placing');
    hand.nudge(0, 50).key('put').key('complete');
    expect(hand.state).toBe('editing');
    expect(hand.points[0]).toEqual([
      { x: 400, y: 300 },
      { x: 450, y: 300 },
      { x: 450, y: 350 },
    ]);
  });

  it('lets go on cancel and interrupt while it is drawn, clicked or edited, and brings it back on undo', () => {
    for (const kind of ['cancel', 'interrupt'] as const) {
      const states = [
        handWith('outline').press(100, 100).move(150, 100).move(180, 150),
        handWith('outline').click(100, 100).click(200, 100),
        handWith('outline').drag(...ring(200, 150, 60)),
      ];
      for (const hand of states) {
        expect(hand.key(kind).parts).toEqual([]);
        expect(hand.state).toBe('idle');
      }
    }
    const hand = handWith('outline')
      .drag(...ring(200, 150, 60))
      .key('cancel')
      .key('undo');
    expect(hand.state).toBe('editing');
  });

  it('takes a stroke back as one step and clicks one by one', () => {
    expect(
      handWith('outline')
        .drag(...ring(200, 150, 60))
        .key('undo').parts,
    ).toEqual([]);
    const hand = handWith('outline').click(100, 100).click(200, 100).click(200, 200).key('undo');
    expect(hand.points[0]).toHaveLength(2);
    expect(hand.key('redo').points[0]).toHaveLength(3);
  });

  it('draws neighbours along when a point is pulled, and leaves what is far', () => {
    const hand = handWith('outline').drag(...ring(200, 150, 60));
    const before = hand.points[0] ?? [];
    hand.drag([260, 150], [280, 150]);
    const after = hand.points[0] ?? [];
    expect(after[0]?.x).toBeCloseTo(560, 6);
    expect((after[1]?.x ?? 0) - (before[1]?.x ?? 0)).toBeGreaterThan(10);
    expect(after[20]).toEqual(before[20]);
    expect(hand.key('undo').points[0]).toEqual(before);
  });

  it('keeps no more points than one can take by hand', () => {
    const hand = handWith('outline').drag(...ring(200, 150, 130, 400));
    expect(hand.points[0]).toHaveLength(MOST_POINTS);
  });
});

describe('volume by discs', () => {
  it('draws the wall from base to base and finds its axis', () => {
    const hand = handWith('discs').drag(...bowl(100, 150, 120, 40));
    const [part] = hand.parts;
    expect(hand.state).toBe('editing');
    expect(part?.axis?.[0].x).toBeCloseTo(200, 0);
    expect(part?.axis?.[0].y).toBeCloseTo(300, 0);
    expect(part?.axis?.[1].x).toBeCloseTo(440, 0);
  });

  it('lets the far end be put by hand; then it no longer follows the wall', () => {
    const hand = handWith('discs').drag(...bowl(100, 150, 120, 40));
    hand.drag([220, 150], [214, 154]);
    const [part] = hand.parts;
    expect(part?.axisByHand).toBe(true);
    expect(part?.axis?.[1]).toEqual({ x: 428, y: 308 });
    // The wall pulled elsewhere: the base follows, the far end stays.
    const first = part?.points[0];
    hand.drag([(first?.x ?? 0) / 2, (first?.y ?? 0) / 2], [(first?.x ?? 0) / 2, (first?.y ?? 0) / 2 - 10]);
    expect(hand.parts[0]?.axis?.[1]).toEqual({ x: 428, y: 308 });
    expect(hand.parts[0]?.axis?.[0].y).toBeCloseTo((part?.axis?.[0].y ?? 0) - 10, 6);
  });

  it('reaches the axis by going through the points with the keyboard', () => {
    const hand = handWith('discs')
      .drag(...bowl(100, 150, 120, 40))
      .next()
      .nudge(0, 4);
    expect(hand.parts[0]?.axisByHand).toBe(true);
  });

  it('takes a second plane from another clip', () => {
    const hand = handWith('discs-two').drag(...bowl(100, 150, 120, 40));
    expect(hand.state).toBe('placing');
    hand.onFrame(3, 'c2').drag(...bowl(90, 140, 115, 50));
    expect(hand.parts.map((p) => [p.clipId, p.frame, p.done])).toEqual([
      ['c1', 7, true],
      ['c2', 3, true],
    ]);
    expect(hand.state).toBe('editing');
    expect(hand.parts[1]?.axis).not.toBeNull();
  });

  it('stands with one plane when completed before the second', () => {
    const hand = handWith('discs-two')
      .drag(...bowl(100, 150, 120, 40))
      .key('complete');
    expect(hand.parts).toHaveLength(1);
    expect(hand.state).toBe('editing');
  });
});

describe('tracing a Doppler curve', () => {
  it('goes on in time only: going back takes back', () => {
    const hand = handWith('trace').press(100, 150);
    for (let x = 105; x <= 200; x += 5) hand.move(x, 150 - (x - 100) / 2);
    for (let x = 195; x >= 150; x -= 5) hand.move(x, 90);
    const xs = hand.points[0]?.map((p) => p.x) ?? [];
    expect(xs.at(-1)).toBe(300);
    expect([...xs].sort((a, b) => a - b)).toEqual(xs);
    hand.move(155, 120).release(155, 120);
    expect(hand.state).toBe('editing');
  });

  it('stays open, can be clicked, and is ended by completing', () => {
    const hand = handWith('trace').click(100, 150).click(120, 90).click(150, 150);
    expect(hand.state).toBe('placing');
    hand.key('complete');
    expect(hand.points[0]).toHaveLength(3);
    expect(hand.state).toBe('editing');
  });

  it('stays in order when a point is pulled past its neighbour', () => {
    const hand = handWith('trace').click(100, 150).click(130, 90).click(180, 150).key('complete');
    hand.drag([130, 90], [200, 90]);
    const xs = hand.points[0]?.map((p) => p.x) ?? [];
    expect([...xs].sort((a, b) => a - b)).toEqual(xs);
  });
});

describe('correcting the outline of a short axis', () => {
  const found = ring(200, 150, 50, 48).map(([sx, sy]) => ({ x: 2 * sx, y: 2 * sy }));
  const correcting = () =>
    new Hand(
      beginWith('cavity', {
        clipId: 'c1',
        frame: 7,
        points: found,
        axis: null,
        axisByHand: false,
        done: true,
      }),
    );

  it('begins with what was found and pulls a stretch of it', () => {
    const hand = correcting();
    expect(hand.state).toBe('editing');
    hand.drag([250, 150], [262, 150]);
    expect(hand.points[0]?.[0]).toEqual({ x: 524, y: 300 });
    expect(hand.points[0]?.[24]).toEqual(found[24]);
    expect(hand.key('undo').points[0]).toEqual(found);
  });

  it('is drawn anew when pressed far from it', () => {
    const hand = correcting().drag(...ring(100, 80, 30));
    expect(hand.points[0]?.[0]).toEqual({ x: 260, y: 160 });
    expect(hand.session.document.drawings).toHaveLength(1);
  });

  it('does not end before it has the points that an outline needs', () => {
    const hand = handWith('cavity').click(10, 10).click(60, 10).click(60, 60).key('complete');
    expect(hand.state).toBe('placing');
  });
});

describe('a pulled line', () => {
  const spot = fc.record({ x: fc.integer({ min: 0, max: 800 }), y: fc.integer({ min: 0, max: 600 }) });
  it('comes back when the point comes back, and moves only what is in reach', () => {
    fc.assert(
      fc.property(
        fc.array(spot, { minLength: 3, maxLength: 30 }),
        spot,
        fc.boolean(),
        (points, to, closed) => {
          const there = pulled(points, 1, to, 60, closed);
          expect(there[1]).toEqual(to);
          const from = points[1] ?? to;
          expect(pulled(points, 1, from, 60, closed)).toEqual(points);
          expect(there).toHaveLength(points.length);
        },
      ),
    );
  });
  it('is thinned with its ends kept, and has its axis from the middle of the base', () => {
    const line = Array.from({ length: 300 }, (_, x) => ({ x, y: 0 }));
    expect(thinned(line, 100)).toHaveLength(100);
    expect(thinned(line, 100).at(-1)).toEqual({ x: 299, y: 0 });
    const wall = [
      { x: 0, y: -10 },
      { x: 50, y: 0 },
      { x: 0, y: 10 },
    ];
    expect(axisOf(wall)).toEqual([
      { x: 0, y: 0 },
      { x: 50, y: 0 },
    ]);
    expect(axisOf(wall.slice(0, 2))).toBeNull();
  });
});
