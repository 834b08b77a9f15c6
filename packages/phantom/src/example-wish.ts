import type { PhantomWish } from './clip';
import type { PhantomHeart, PhantomSpecies } from './heart-size';
import type { PhantomView } from './views';

/** Weights and rates of the animals that examples show (common practice). */
const animals: Readonly<Record<PhantomSpecies, { readonly weightKg: number; readonly heartRate: number }>> = {
  dog: { weightKg: 14, heartRate: 104 },
  cat: { weightKg: 4.4, heartRate: 184 },
  horse: { weightKg: 510, heartRate: 38 },
};

/**
 * The wish for a normal moving example of a view, as a view guide shows it: whole beats, so that it plays round without a jump. A
 * horse for its own views; the sweep for fluid shows some, since a picture without any teaches nothing.
 */
export function exampleWish(
  view: PhantomView,
  species: PhantomSpecies = 'dog',
  heart: PhantomHeart = 'normal',
): PhantomWish {
  const kind = view.startsWith('eq-') ? 'horse' : species;
  const { weightKg, heartRate } = animals[kind];
  const beats = kind === 'horse' ? 1 : 2;
  const beatMs = 60_000 / heartRate;
  const frameCount = Math.round((beats * beatMs) / 33);
  return {
    view,
    species: kind,
    weightKg,
    heart: view === 'effusion-sweep' && heart === 'normal' ? 'pericardial-effusion' : heart,
    heartRate,
    frameCount,
    frameTimeMs: (beats * beatMs) / frameCount,
    words: { patientLine: 'PHANTOM', secondLine: 'COMPUTED PICTURE, NO ANIMAL', viewLine: '' },
    bLines: 1,
  };
}
