import type { CaseView } from '@chordae/contract';
import { useEffect, useMemo, useState } from 'react';
import { openingOrder } from './clip-order';
import { FIRST_TILES } from './open-ahead';
import type { StageClip } from './stage-clip';
import { stageClip } from './stage-clip';

/** How many tiles may stand side by side. */
export const TILE_COUNTS = [1, 2, 3, 4, 6, 9] as const;

export interface Shown {
  readonly tiles: readonly StageClip[];
  readonly count: number;
  /** Puts a clip into a tile, counted from 1; a new tile where there is room behind the last. */
  put(place: number, clip: StageClip): void;
  /** More or fewer tiles; false where there is no other number. */
  change(by: 1 | -1): boolean;
}

/** Which clips stand in which tile. Clips that come in later fill free places; nothing that is shown is moved. */
export function useShown(c: CaseView): Shown {
  const order = useMemo(() => openingOrder(c.clips, c.referral.plan), [c.clips, c.referral.plan]);
  const [count, setCount] = useState<number>(() => Math.min(FIRST_TILES, Math.max(1, order.length)));
  const [keys, setKeys] = useState<readonly string[]>(() =>
    order.slice(0, FIRST_TILES).map((clip) => `today:${clip.id}`),
  );
  /** Clips of other scans and examples, by key: they are not in the case. */
  const [others, setOthers] = useState<ReadonlyMap<string, StageClip>>(new Map());
  useEffect(() => {
    setCount((now) => Math.max(now, Math.min(FIRST_TILES, c.clips.length)));
  }, [c.clips.length]);
  useEffect(() => {
    setKeys((now) => {
      const more = order.map((clip) => `today:${clip.id}`).filter((key) => !now.includes(key));
      return now.length >= count ? now : [...now, ...more].slice(0, count);
    });
  }, [order, count]);
  const today = useMemo(
    () => new Map(c.clips.map((clip) => [`today:${clip.id}`, stageClip(c, clip)])),
    [c.clips, c.statements, c.scans],
  );
  const tiles = keys.slice(0, count).flatMap((key) => today.get(key) ?? others.get(key) ?? []);
  return {
    tiles,
    count,
    put(place, clip) {
      if (clip.kind !== 'today') setOthers((now) => new Map(now).set(clip.key, clip));
      if (place > count) setCount(TILE_COUNTS.find((n) => n >= place) ?? 9);
      setKeys((now) => {
        const next = now
          .slice(0, Math.max(count, place))
          .map((key, at) => (at === place - 1 ? clip.key : key));
        return next.length < place ? [...next, clip.key] : next;
      });
    },
    change(by) {
      const at = TILE_COUNTS.findIndex((n) => n >= count);
      const next = TILE_COUNTS[at + by];
      // More places than clips would stay empty.
      if (next === undefined || (by === 1 && count >= Math.max(order.length, keys.length))) return false;
      setCount(next);
      return true;
    },
  };
}
