/** A source of numbers in [0, 1). Given by the caller, so that a phantom can be made again. */
export type Random = () => number;

/** mulberry32 (T. Ettinger, public domain): small, seeded, good enough for speckle. */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Sum of four uniforms: near enough to normal for scatterers; mean 0, variance 1. */
export function normalish(random: Random): number {
  return (random() + random() + random() + random() - 2) * 1.7320508075688772;
}
