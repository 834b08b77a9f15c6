import { describe, expect, it } from 'vitest';
import { fitCamera, toFrame, toScreen, zoomAt } from './camera';
import { emptySession, handle, type Session } from './session';
import type { ToolEvent } from './tool';

// A frame of 800 by 600 in a tile of 400 by 300: one screen pixel is two frame pixels.
const camera = fitCamera({ width: 800, height: 600 }, { width: 400, height: 300 });
const at = { camera, frame: 7 };
const play = (events: readonly ToolEvent[], from: Session = emptySession): Session =>
  events.reduce((session, event) => handle(session, event, at), from);
const press = (sx: number, sy: number): ToolEvent => ({ kind: 'press', at: { sx, sy } });
const move = (sx: number, sy: number): ToolEvent => ({ kind: 'move', at: { sx, sy } });
const release = (sx: number, sy: number): ToolEvent => ({ kind: 'release', at: { sx, sy } });

describe('the length tool', () => {
  it('draws by press, move, release, in pixels of the frame', () => {
    const drawn = play([press(100, 50), move(150, 90), release(200, 100)]);
    expect(drawn.document.length).toEqual({
      frame: 7,
      points: [
        { x: 200, y: 100 },
        { x: 400, y: 200 },
      ],
    });
    expect(drawn.tool.name).toBe('editing');
  });

  it('draws by two clicks as well', () => {
    const first = play([press(100, 50), release(101, 50)]);
    expect(first.tool.name).toBe('pointing');
    const second = play([move(180, 80), press(200, 100), release(200, 100)], first);
    expect(second.document.length?.points[1]).toEqual({ x: 400, y: 200 });
    expect(second.tool).toEqual({ name: 'editing', end: 1, held: false });
  });

  it('lets go of everything on cancel and interrupt, in every state', () => {
    for (const kind of ['cancel', 'interrupt'] as const) {
      const states = [
        [],
        [press(10, 10)],
        [press(10, 10), release(10, 10)],
        [press(10, 10), release(90, 90)],
      ];
      for (const before of states) {
        const after = play([...before, { kind }]);
        expect(after).toEqual(emptySession);
      }
    }
  });

  it('takes an end that is pressed near and leaves the other where it was', () => {
    const drawn = play([press(100, 50), release(200, 100)]);
    const moved = play([press(105, 52), move(120, 60), release(120, 60)], drawn);
    expect(moved.document.length?.points).toEqual([
      { x: 240, y: 120 },
      { x: 400, y: 200 },
    ]);
  });

  it('begins a new line when pressed far from both ends', () => {
    const drawn = play([press(100, 50), release(200, 100)]);
    expect(play([press(300, 250)], drawn)).toEqual({
      tool: { name: 'dragging', from: { x: 600, y: 500 } },
      document: { length: null },
    });
  });

  it('moves the held end by arrow keys, one pixel of the frame at a time', () => {
    const drawn = play([press(100, 50), release(200, 100), { kind: 'nudge', dx: 1, dy: 0 }]);
    expect(drawn.document.length?.points[1]).toEqual({ x: 401, y: 200 });
  });

  it('keeps the line and rests when completed', () => {
    const kept = play([press(100, 50), release(200, 100), { kind: 'complete' }]);
    expect(kept.tool.name).toBe('idle');
    expect(kept.document.length).not.toBeNull();
  });
});

describe('the camera', () => {
  it('goes to the screen and back without loss', () => {
    const p = { x: 123.25, y: 456.5 };
    const back = toFrame(camera, toScreen(camera, p));
    expect(back.x).toBeCloseTo(p.x, 9);
    expect(back.y).toBeCloseTo(p.y, 9);
  });

  it('zooms round the place under the pointer', () => {
    const about = { sx: 130, sy: 70 };
    const before = toFrame(camera, about);
    const after = toFrame(zoomAt(camera, about, 2), about);
    expect(after.x).toBeCloseTo(before.x, 9);
    expect(after.y).toBeCloseTo(before.y, 9);
  });

  it('centres a frame that is narrower than its tile', () => {
    expect(fitCamera({ width: 100, height: 100 }, { width: 400, height: 200 })).toEqual({
      scale: 2,
      offsetX: 100,
      offsetY: 0,
    });
  });
});
