import type { PanelFrames, PhantomClip, PhantomWish, Refilming } from '@chordae/phantom';
import {
  composeScreen,
  croppedPanel,
  makeMMode,
  makeSpectral,
  onScreen,
  panelOf,
  randomCine,
  refilmed,
  renderCine,
  rulerStyles,
  runningTrace,
  seededRandom,
  withColourBox,
} from '@chordae/phantom';
import { trueSector } from './imaging-statistics';

/**
 * Seeded whole screens as clinics have them, with the true place of the two-dimensional picture: rulers along the fan's edge, panels that
 * touch, M-mode beside or spectrum below, a linear picture with a colour box, and screens filmed again.
 */
export const screenKinds = [
  'edge-ruler',
  'turned-ruler',
  'two-panels',
  'm-mode-beside',
  'spectrum-below',
  'linear-colour',
  'refilmed',
] as const;
export type ScreenKind = (typeof screenKinds)[number];

export interface Screen {
  readonly kind: ScreenKind;
  readonly seed: number;
  readonly picture: PanelFrames;
  readonly wish: PhantomWish;
  /** 1 where the two-dimensional picture (either of two) is. */
  readonly masks: readonly Uint8Array[];
  readonly shape: 'fan' | 'box';
  readonly pxPerTick: number | null;
  readonly tickCm: number | null;
}

type Pick = <T>(list: readonly T[]) => T;
type Between = (low: number, high: number) => number;

interface Dice {
  readonly random: () => number;
  readonly pick: Pick;
  readonly between: Between;
}

function diceOf(kind: ScreenKind, seed: number): Dice {
  const random = seededRandom(seed * 977 + 131 * screenKinds.indexOf(kind));
  for (let n = 0; n < 3; n += 1) random();
  return {
    random,
    pick: (list) => list[Math.floor(random() * list.length)] as never,
    between: (low, high) => low + (high - low) * random(),
  };
}

const words = { patientLine: 'TESTDOG 4711', secondLine: '12.03.2026 PRACTICE', viewLine: 'CARDIO' };
const views = ['rps-short-papillary', 'rps-long-4ch', 'rps-short-aortic', 'lap-4ch'] as const;

function wishFor(seed: number, dice: Dice, widthPx: number, heightPx: number): PhantomWish {
  const view = dice.pick(views);
  return { ...randomCine(seed, 'developing', { view, widthPx, heightPx }), frameCount: 6, mirrored: false };
}

function textsOn(widthPx: number): Parameters<typeof composeScreen>[3] {
  return [
    { x: 8, y: 6, text: 'TESTDOG 4711', scale: 2 },
    { x: widthPx - 130, y: 6, text: '12.03.2026 MI 1.1', scale: 1 },
    { x: 8, y: 26, text: 'PRACTICE', scale: 1 },
  ];
}

function moved(mask: Uint8Array, from: PanelFrames, x: number, y: number, to: PanelFrames): Uint8Array {
  const out = new Uint8Array(to.widthPx * to.heightPx);
  for (let row = 0; row < from.heightPx && y + row < to.heightPx; row += 1)
    for (let k = 0; k < from.widthPx && x + k < to.widthPx; k += 1)
      if (x + k >= 0) out[(y + row) * to.widthPx + x + k] = mask[row * from.widthPx + k] as number;
  return out;
}

/** The clip cut close round its fan (or with a rim), and the true sector of what is left. */
function fanPanel(clip: PhantomClip, rim: number): { picture: PanelFrames; mask: Uint8Array } {
  const { fan } = clip;
  const outer = (fan.faceCm + fan.depthCm) * fan.pxPerCm;
  const half = outer * Math.sin(fan.halfAngle);
  const top = fan.apexY + fan.faceCm * fan.pxPerCm * Math.cos(fan.halfAngle);
  const box = {
    x0: Math.max(0, Math.floor(fan.apexX - half) - rim),
    x1: Math.min(fan.widthPx, Math.ceil(fan.apexX + half) + rim),
    y0: Math.max(0, Math.floor(top) - rim),
    y1: Math.min(fan.heightPx, Math.ceil(fan.apexY + outer) + rim),
  };
  const whole = {
    widthPx: fan.widthPx,
    heightPx: fan.heightPx,
    frames: [trueSector(fan, fan.widthPx, fan.heightPx)],
  };
  return {
    picture: croppedPanel(panelOf(clip), box),
    mask: croppedPanel(whole, box).frames[0] as Uint8Array,
  };
}

type Drawn = Omit<Screen, 'kind' | 'seed'>;

function withRuler(seed: number, dice: Dice, edge: boolean): Drawn {
  const tickCm = dice.random() < 0.7 ? 1 : 0.5;
  const wish: PhantomWish = {
    ...wishFor(seed, dice, 800, 600),
    words,
    furniture: {
      ruler: edge ? dice.pick(['dash', 'dot'] as const) : dice.pick(rulerStyles),
      rulerSide: dice.pick(['left', 'right'] as const),
      edgeGapPx: edge ? dice.between(-1, 9) : null,
      tickCm,
      majorEvery: tickCm === 1 ? dice.pick([5, 5, 0]) : dice.pick([2, 10, 0]),
      numbers: dice.random() < 0.6,
    },
  };
  const clip = renderCine(wish, seed);
  const mask = trueSector(clip.fan, 800, 600);
  const ruler = clip.truth.ruler;
  return {
    picture: panelOf(clip),
    wish,
    masks: [mask],
    shape: 'fan',
    pxPerTick: ruler?.pxPerTick ?? null,
    tickCm: ruler?.tickCm ?? null,
  };
}

function filmedAgain(from: Drawn, how: Refilming): Drawn {
  const { widthPx, heightPx } = from.picture;
  const place = onScreen(widthPx, heightPx, how);
  const masks = from.masks.map((mask) =>
    Uint8Array.from({ length: widthPx * heightPx }, (_, n) => {
      const { x, y } = place((n % widthPx) + 0.5, Math.floor(n / widthPx) + 0.5);
      const [px, py] = [Math.floor(x), Math.floor(y)];
      return px >= 0 && py >= 0 && px < widthPx && py < heightPx ? (mask[py * widthPx + px] as number) : 0;
    }),
  );
  return { ...from, picture: refilmed(from.picture, how), masks };
}

function composed(
  widthPx: number,
  heightPx: number,
  wish: PhantomWish,
  panels: readonly { picture: PanelFrames; mask: Uint8Array | null; x: number; y: number }[],
): Drawn {
  const picture = composeScreen(widthPx, heightPx, panels, textsOn(widthPx));
  const masks = panels.flatMap((p) => (p.mask ? [moved(p.mask, p.picture, p.x, p.y, picture)] : []));
  return { picture, wish, masks, shape: 'fan', pxPerTick: null, tickCm: null };
}

function twoPanels(seed: number, dice: Dice): Drawn {
  const fan = { ...wishFor(seed, dice, 400, 420) };
  const gap = dice.pick([0, 0, 2]);
  const a = fanPanel(renderCine(fan, seed), 0);
  const b = fanPanel(renderCine({ ...fan, view: dice.pick(views) }, seed + 1), 0);
  const x0 = Math.max(0, Math.round((800 - a.picture.widthPx - b.picture.widthPx - gap) / 2));
  return composed(800, 600, fan, [
    { ...a, x: x0, y: 70 },
    { ...b, x: x0 + a.picture.widthPx + gap, y: 70 },
  ]);
}

function mModeBeside(seed: number, dice: Dice): Drawn {
  const wish = wishFor(seed, dice, 380, 420);
  const two = fanPanel(renderCine({ ...wish, frameCount: dice.pick([6, 6, 1]) }, seed), 0);
  const whole = makeMMode({ ...wish, sweepMs: 2500, words, widthPx: 520, heightPx: 500 }, seed);
  const trace = runningTrace(whole, 6, dice.pick(['roll', 'sweep', 'still'] as const));
  const gap = dice.pick([0, 0, 6]);
  const left = dice.random() < 0.6;
  const x = left ? [4, 4 + two.picture.widthPx + gap] : [8 + trace.widthPx + gap, 8];
  return composed(840, 560, wish, [
    { ...two, x: x[0] as number, y: 60 + Math.round(dice.between(0, 40)) },
    { picture: trace, mask: null, x: x[1] as number, y: 60 },
  ]);
}

function spectrumBelow(seed: number, dice: Dice): Drawn {
  const wish = wishFor(seed, dice, 360, 280);
  const two = fanPanel(renderCine({ ...wish, frameCount: dice.pick([6, 1]) }, seed), 0);
  const whole = makeSpectral(
    {
      ...wish,
      flow: dice.pick(['ejection', 'leak', 'inflow'] as const),
      peakCmS: dice.between(80, 450),
      towards: dice.random() < 0.5,
      sweepMs: 2500,
      words,
      widthPx: 800,
      heightPx: 360,
    },
    seed,
  );
  const trace = runningTrace(whole, 6, dice.pick(['roll', 'sweep', 'still'] as const));
  const y = 44;
  return composed(800, 600, wish, [
    { ...two, x: Math.round(dice.between(60, 360)), y },
    { picture: trace, mask: null, x: 60, y: y + two.picture.heightPx + dice.pick([0, 0, 8]) },
  ]);
}

function linearColour(seed: number, dice: Dice): Drawn {
  const heightPx = Math.round(dice.between(300, 440));
  const wish: PhantomWish = {
    ...wishFor(seed, dice, 640, heightPx + 100),
    fan: { halfAngleDeg: 1.5, facePart: 20 },
  };
  const clip = renderCine({ ...wish, frameCount: dice.pick([6, 1]) }, seed);
  const { fan } = clip;
  const top = Math.ceil(fan.apexY + fan.faceCm * fan.pxPerCm);
  const bottom = Math.floor(fan.apexY + (fan.faceCm + fan.depthCm) * fan.pxPerCm * Math.cos(fan.halfAngle));
  const half = Math.floor(fan.faceCm * fan.pxPerCm * Math.tan(fan.halfAngle));
  const box = {
    x0: Math.max(0, Math.ceil(fan.apexX) - half),
    x1: Math.min(640, Math.floor(fan.apexX) + half),
    y0: top,
    y1: Math.min(fan.heightPx, bottom),
  };
  const bare = croppedPanel(panelOf(clip), box);
  const { widthPx: w, heightPx: h } = bare;
  const x0 = Math.round(w * dice.between(0.1, 0.3));
  const y0 = Math.round(h * dice.between(0.1, 0.3));
  const flow = withColourBox(
    bare,
    { x0, y0, x1: x0 + Math.round(w * dice.between(0.4, 0.6)), y1: y0 + Math.round(h * 0.5) },
    seed,
  );
  const drawn = composed(800, 600, wish, [
    { picture: flow, mask: new Uint8Array(w * h).fill(1), x: Math.round((800 - w) / 2), y: 70 },
  ]);
  return { ...drawn, shape: 'box' };
}

export function drawScreen(kind: ScreenKind, seed: number): Screen {
  const dice = diceOf(kind, seed);
  const sign = dice.pick([-1, 1]);
  const drawn = (): Drawn => {
    if (kind === 'edge-ruler') return withRuler(seed, dice, true);
    if (kind === 'turned-ruler')
      return filmedAgain(withRuler(seed, dice, false), {
        rotationDeg: sign * dice.between(0.5, 8),
        keystone: 0,
      });
    if (kind === 'refilmed')
      return filmedAgain(withRuler(seed, dice, false), {
        rotationDeg: sign * dice.between(0.5, 3),
        keystone: dice.pick([-1, 1]) * dice.between(0.03, 0.1),
      });
    if (kind === 'two-panels') return twoPanels(seed, dice);
    if (kind === 'm-mode-beside') return mModeBeside(seed, dice);
    if (kind === 'spectrum-below') return spectrumBelow(seed, dice);
    return linearColour(seed, dice);
  };
  return { kind, seed, ...drawn() };
}
