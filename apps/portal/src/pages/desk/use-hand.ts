import type { PointerEvent, WheelEvent } from 'react';
import { useRef } from 'react';
import type { Camera, ScreenPoint } from './canvas/camera';
import { pan, pinch, zoomAt } from './canvas/camera';
import type { Place } from './canvas/session';
import type { TileProps } from './desk-tile';

type Pressed = PointerEvent<HTMLDivElement>;

function placeOf(event: Pressed | WheelEvent<HTMLDivElement>): ScreenPoint {
  const area = event.currentTarget.getBoundingClientRect();
  return { sx: event.clientX - area.left, sy: event.clientY - area.top };
}

/** Pointer, wheel, pen and fingers: drawing, moving the picture, enlarging it. Two fingers move and enlarge, and draw nothing. */
export function useHand(props: TileProps, at: Place, there: boolean, setZoomed: (camera: Camera) => void) {
  const moving = useRef<ScreenPoint | null>(null);
  const fingers = useRef(new Map<number, ScreenPoint>());
  /** Until the last finger is lifted: the one that stays behind draws nothing. */
  const pinching = useRef(false);
  const tell = (kind: 'move' | 'release', event: Pressed) => {
    if (props.session) props.onTool({ kind, at: placeOf(event) }, at);
  };
  const interrupt = () => {
    moving.current = null;
    if (props.session) props.onTool({ kind: 'interrupt' }, at);
  };
  /** true where the event belongs to two fingers, and is done. */
  const byFingers = (event: Pressed): boolean => {
    const before = [...fingers.current.values()];
    const known = fingers.current.has(event.pointerId);
    if (known) fingers.current.set(event.pointerId, placeOf(event));
    if (!pinching.current) return false;
    const now = [...fingers.current.values()];
    const [a, b] = before;
    const [c, d] = now;
    if (known && a && b && c && d) setZoomed(pinch(at.camera, [a, b], [c, d]));
    return true;
  };
  const lift = (event: Pressed): boolean => {
    fingers.current.delete(event.pointerId);
    const was = pinching.current;
    if (fingers.current.size === 0) pinching.current = false;
    return was;
  };
  return {
    onPointerDown: (event: Pressed) => {
      props.onChoose(props.place);
      event.currentTarget.setPointerCapture(event.pointerId);
      if (event.pointerType === 'touch') {
        fingers.current.set(event.pointerId, placeOf(event));
        if (fingers.current.size > 1) {
          pinching.current = true;
          return interrupt();
        }
      }
      if (event.button === 1 || props.panning()) {
        event.preventDefault();
        moving.current = placeOf(event);
      } else if (event.button === 0 && there) props.onTool({ kind: 'press', at: placeOf(event) }, at);
    },
    onPointerMove: (event: Pressed) => {
      if (byFingers(event)) return;
      const from = moving.current;
      if (!from) return tell('move', event);
      const here = placeOf(event);
      setZoomed(pan(at.camera, here.sx - from.sx, here.sy - from.sy));
      moving.current = here;
    },
    onPointerUp: (event: Pressed) => {
      if (lift(event)) return;
      if (moving.current) moving.current = null;
      else tell('release', event);
    },
    onPointerCancel: (event: Pressed) => {
      lift(event);
      interrupt();
    },
    onWheel: (event: WheelEvent<HTMLDivElement>) =>
      setZoomed(zoomAt(at.camera, placeOf(event), event.deltaY < 0 ? 1.15 : 1 / 1.15)),
  };
}
