import { useEffect, useRef } from 'react';
import type { DeskActionId, DeskKeys } from './desk-keys';
import { actionOf } from './desk-keys';

export interface StageKeys {
  readonly keys: DeskKeys;
  /** Does it; false where there is nothing to do, so that the browser may have the key. */
  readonly act: (action: DeskActionId) => boolean;
  readonly choose: (place: number) => boolean;
  readonly nudge: (dx: number, dy: number) => boolean;
}

const ARROWS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Keys that a focused button or field keeps for itself. */
function belongsElsewhere(event: KeyboardEvent): boolean {
  const target = event.target as HTMLElement;
  if (target.closest('dialog') || target.matches('input, textarea, select')) return true;
  if (event.altKey) return true;
  return target.closest('button, a, summary') !== null && (event.key === 'Enter' || event.key === ' ');
}

/** Listens for the keys of the clips. Space held moves the picture by the pointer; let go without moving it plays or holds. */
export function useStageKeys(stage: StageKeys) {
  const now = useRef(stage);
  now.current = stage;
  const space = useRef<'up' | 'down' | 'moved'>('up');
  useEffect(() => {
    const handlers = () => now.current;
    const onDown = (event: KeyboardEvent) => {
      const { keys, act, choose, nudge } = handlers();
      if (belongsElsewhere(event)) return;
      if (event.ctrlKey || event.metaKey) {
        if (event.key.toLowerCase() !== 'z') return;
        if (act(event.shiftKey ? 'redo' : 'undo')) event.preventDefault();
        return;
      }
      const arrow = ARROWS[event.key];
      const by = event.shiftKey ? 10 : 1;
      if (arrow && nudge(arrow[0] * by, arrow[1] * by)) return event.preventDefault();
      if (/^[1-9]$/.test(event.key) && choose(Number(event.key))) return event.preventDefault();
      const action = actionOf(event, keys);
      if (action === null) return;
      if (action === 'play-or-hold' && event.key === ' ') {
        if (space.current === 'up') space.current = 'down';
        return event.preventDefault();
      }
      if (act(action)) event.preventDefault();
    };
    const onUp = (event: KeyboardEvent) => {
      if (event.key !== ' ' || space.current === 'up') return;
      const moved = space.current === 'moved';
      space.current = 'up';
      if (!moved) handlers().act('play-or-hold');
    };
    const onBlur = () => {
      space.current = 'up';
    };
    window.addEventListener('keydown', onDown);
    window.addEventListener('keyup', onUp);
    window.addEventListener('blur', onBlur);
    return () => {
      window.removeEventListener('keydown', onDown);
      window.removeEventListener('keyup', onUp);
      window.removeEventListener('blur', onBlur);
    };
  }, []);
  /** Is the picture being moved: asked when the pointer goes down. */
  return useRef(() => {
    if (space.current === 'up') return false;
    space.current = 'moved';
    return true;
  }).current;
}
