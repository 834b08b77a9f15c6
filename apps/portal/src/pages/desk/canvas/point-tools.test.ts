import { describe, expect, it } from 'vitest';
import type { ToolId } from './drawing';
import { currentOf } from './drawing';
import { beginSession } from './session';
import { Hand } from './testing';

const handWith = (tool: ToolId) => new Hand(beginSession(tool));

describe('the length tool', () => {
  it('draws by press, move, release, in pixels of the frame', () => {
    const hand = handWith('length').drag([100, 50], [150, 90], [200, 100]);
    expect(hand.parts).toMatchObject([
      {
        clipId: 'c1',
        frame: 7,
        done: true,
        points: [
          { x: 200, y: 100 },
          { x: 400, y: 200 },
        ],
      },
    ]);
    expect(hand.session.state).toEqual({ name: 'editing', part: 0, point: 1, base: null });
  });

  it('draws by two clicks as well, the second end following the pointer', () => {
    const hand = handWith('length').press(100, 50).release(101, 50);
    expect(hand.state).toBe('placing');
    hand.move(180, 80);
    expect(hand.session.state).toEqual({ name: 'placing', cross: { x: 360, y: 160 } });
    hand.click(200, 100);
    expect(hand.points[0]?.[1]).toEqual({ x: 400, y: 200 });
    expect(hand.state).toBe('editing');
  });

  it('draws by keyboard alone: the cross, arrows, and a key that puts a point', () => {
    const hand = handWith('length').key('put').nudge(-100, 0).key('put').nudge(0, 40).key('put');
    expect(hand.points).toEqual([
      [
        { x: 300, y: 300 },
        { x: 300, y: 340 },
      ],
    ]);
    expect(hand.state).toBe('editing');
  });

  it('lets go of everything on cancel and interrupt, in every state', () => {
    for (const kind of ['cancel', 'interrupt'] as const) {
      const states = [
        handWith('length'),
        handWith('length').key('put'),
        handWith('length').press(10, 10),
        handWith('length').click(10, 10),
        handWith('length').drag([10, 10], [90, 90]),
      ];
      for (const hand of states) {
        hand.key(kind);
        expect(hand.session.state).toEqual({ name: 'idle', cross: null });
        expect(hand.session.document.drawings).toEqual([]);
      }
    }
  });

  it('takes an end that is pressed near and leaves the other where it was', () => {
    const hand = handWith('length').drag([100, 50], [200, 100]).drag([105, 52], [120, 60]);
    expect(hand.points[0]).toEqual([
      { x: 240, y: 120 },
      { x: 400, y: 200 },
    ]);
  });

  it('begins a new line when pressed far from both ends, or on another frame', () => {
    const hand = handWith('length').drag([100, 50], [200, 100]).press(300, 250);
    expect(hand.points).toEqual([[{ x: 600, y: 500 }]]);
    expect(hand.state).toBe('dragging');
    const other = handWith('length').drag([100, 50], [200, 100]).onFrame(8).press(200, 100);
    expect(other.parts).toMatchObject([{ frame: 8, points: [{ x: 400, y: 200 }] }]);
  });

  it('begins anew when the second end is put on another frame than the first', () => {
    const hand = handWith('length').click(100, 50).onFrame(9).click(200, 100);
    expect(hand.parts).toMatchObject([{ frame: 9, done: false, points: [{ x: 400, y: 200 }] }]);
  });

  it('moves the taken end by arrow keys, and goes to the other end', () => {
    const hand = handWith('length').drag([100, 50], [200, 100]).nudge(1, 0).next().nudge(0, -10);
    expect(hand.points[0]).toEqual([
      { x: 200, y: 90 },
      { x: 401, y: 200 },
    ]);
    hand.next(-1).nudge(3, 0);
    expect(hand.points[0]?.[1]).toEqual({ x: 404, y: 200 });
  });

  it('sets the line down when completed, and keeps it while another is drawn', () => {
    const hand = handWith('length').drag([100, 50], [200, 100]).key('complete');
    expect(hand.state).toBe('idle');
    hand.drag([20, 20], [90, 90]);
    expect(hand.session.document.drawings).toHaveLength(2);
    expect(currentOf(hand.session.document)?.id).toBe(2);
  });

  it('goes back step by step and forth again', () => {
    const hand = handWith('length').click(100, 50).click(200, 100).nudge(5, 0);
    hand.key('undo');
    expect(hand.points[0]?.[1]).toEqual({ x: 400, y: 200 });
    hand.key('undo');
    expect(hand.points).toEqual([[{ x: 200, y: 100 }]]);
    expect(hand.state).toBe('placing');
    hand.key('undo');
    expect(hand.parts).toEqual([]);
    expect(hand.state).toBe('idle');
    hand.key('undo').key('redo').key('redo').key('redo').key('redo');
    expect(hand.points[0]?.[1]).toEqual({ x: 405, y: 200 });
    expect(hand.state).toBe('editing');
  });

  it('brings back what was let go, and takes a whole drag as one step', () => {
    const hand = handWith('length').drag([100, 50], [200, 100]).drag([200, 100], [220, 110], [250, 130]);
    hand.key('undo');
    expect(hand.points[0]?.[1]).toEqual({ x: 400, y: 200 });
    hand.key('cancel');
    expect(hand.parts).toEqual([]);
    hand.key('undo');
    expect(hand.points[0]?.[1]).toEqual({ x: 400, y: 200 });
    hand.press(200, 100).move(230, 120).key('undo');
    expect(hand.points[0]?.[1]).toEqual({ x: 400, y: 200 });
  });
});

describe('the pair of left atrium and aorta', () => {
  it('puts two lengths on one frame, the atrium first', () => {
    const hand = handWith('pair').drag([50, 50], [50, 90]);
    expect(hand.state).toBe('placing');
    hand.drag([120, 60], [120, 80]);
    expect(hand.points).toEqual([
      [
        { x: 100, y: 100 },
        { x: 100, y: 180 },
      ],
      [
        { x: 240, y: 120 },
        { x: 240, y: 160 },
      ],
    ]);
    expect(hand.session.state).toMatchObject({ name: 'editing', part: 1, point: 1 });
  });

  it('begins anew on another frame, since both belong to one moment', () => {
    const hand = handWith('pair').drag([50, 50], [50, 90]).onFrame(8).drag([120, 60], [120, 80]);
    expect(hand.parts).toMatchObject([{ frame: 8, points: [{ x: 240 }, { x: 240 }] }]);
    expect(hand.state).toBe('placing');
  });

  it('goes through all four ends', () => {
    const hand = handWith('pair').drag([50, 50], [50, 90]).drag([120, 60], [120, 80]).next();
    expect(hand.session.state).toMatchObject({ part: 0, point: 0 });
    hand.next(-1).next(-1);
    expect(hand.session.state).toMatchObject({ part: 1, point: 0 });
  });

  it('stands as one length when completed before the second', () => {
    const hand = handWith('pair').drag([50, 50], [50, 90]).click(120, 60).key('complete');
    expect(hand.points).toHaveLength(1);
    expect(hand.state).toBe('editing');
  });
});

describe('the set of the left ventricle in M-mode', () => {
  const overTime = () => true;
  const set = () => {
    const hand = handWith('lv-set');
    hand.place = { ...hand.place, overTime };
    return hand.click(60, 50).click(63, 60).click(58, 110).click(60, 125);
  };

  it('puts four borders at diastole and four at systole, each in one column', () => {
    const hand = set();
    expect(hand.state).toBe('placing');
    hand.click(90, 52).click(91, 66).click(92, 100).click(88, 122);
    expect(hand.points.map((p) => p.map(({ x, y }) => [x, y]))).toEqual([
      [
        [120, 100],
        [120, 120],
        [120, 220],
        [120, 250],
      ],
      [
        [180, 104],
        [180, 132],
        [180, 200],
        [180, 244],
      ],
    ]);
    expect(hand.state).toBe('editing');
  });

  it('moves the column as one, and single borders up and down', () => {
    const hand = set().click(90, 52).click(91, 66).click(92, 100).click(88, 122).nudge(4, 1);
    expect(hand.points[1]?.map((p) => p.x)).toEqual([184, 184, 184, 184]);
    expect(hand.points[1]?.map((p) => p.y)).toEqual([104, 132, 200, 245]);
  });

  it('takes the systole from another frame of the clip where nothing runs in time', () => {
    const hand = handWith('lv-set').click(60, 50).click(63, 60).click(58, 110).click(60, 125);
    hand.onFrame(15).click(60, 55).click(60, 70).click(60, 100).click(60, 120);
    expect(hand.parts.map((p) => p.frame)).toEqual([7, 15]);
    expect(hand.points[0]?.[1]).toEqual({ x: 126, y: 120 });
    expect(hand.state).toBe('editing');
  });

  it('stands with the diastole alone when completed', () => {
    expect(set().key('complete').parts).toHaveLength(1);
  });

  it('takes back border by border', () => {
    const hand = set().click(90, 52).click(91, 66).key('undo').key('undo').key('undo');
    expect(hand.points.map((p) => p.length)).toEqual([3]);
    expect(hand.state).toBe('placing');
  });
});

describe('the angle tool', () => {
  it('puts three points, the corner second, by clicks or a drag and a click', () => {
    const three = [
      { x: 200, y: 100 },
      { x: 300, y: 100 },
      { x: 300, y: 200 },
    ];
    expect(handWith('angle').click(100, 50).click(150, 50).click(150, 100).points).toEqual([three]);
    const hand = handWith('angle').drag([100, 50], [150, 50]);
    expect(hand.state).toBe('placing');
    expect(hand.click(150, 100).points).toEqual([three]);
    expect(hand.state).toBe('editing');
  });
});

describe('the ellipse tool', () => {
  it('puts one axis and then how far the other reaches', () => {
    const hand = handWith('ellipse').drag([100, 50], [200, 50]).click(150, 80);
    expect(hand.points).toEqual([
      [
        { x: 200, y: 100 },
        { x: 400, y: 100 },
        { x: 300, y: 160 },
      ],
    ]);
    hand.drag([150, 80], [150, 90]);
    expect(hand.points[0]?.[2]).toEqual({ x: 300, y: 180 });
  });
});

describe('time and slope', () => {
  it('put two points, in whichever order', () => {
    for (const tool of ['time', 'slope'] as const) {
      const hand = handWith(tool).drag([200, 50], [100, 90]);
      expect(hand.points).toEqual([
        [
          { x: 400, y: 100 },
          { x: 200, y: 180 },
        ],
      ]);
      expect(hand.key('cancel').parts).toEqual([]);
    }
  });
});

describe('the point on a Doppler curve', () => {
  it('stands with one press and follows until it is let go', () => {
    const hand = handWith('velocity').press(100, 50);
    expect(hand.state).toBe('editing');
    hand.move(100, 70).release(100, 70);
    expect(hand.points).toEqual([[{ x: 200, y: 140 }]]);
    expect(hand.nudge(0, 1).points).toEqual([[{ x: 200, y: 141 }]]);
    expect(hand.press(300, 200).points).toEqual([[{ x: 600, y: 400 }]]);
  });

  it('is put by keyboard', () => {
    const hand = handWith('velocity').key('put').nudge(10, 10).key('put');
    expect(hand.points).toEqual([[{ x: 410, y: 310 }]]);
    expect(hand.state).toBe('editing');
  });
});

describe('calibrating by two points', () => {
  it('puts two points and holds them until the distance is said', () => {
    const hand = handWith('calibration').drag([10, 20], [10, 220]).nudge(0, -1);
    expect(hand.points).toEqual([
      [
        { x: 20, y: 40 },
        { x: 20, y: 439 },
      ],
    ]);
    expect(hand.key('interrupt').parts).toEqual([]);
    expect(hand.key('undo').points[0]).toHaveLength(2);
  });
});
