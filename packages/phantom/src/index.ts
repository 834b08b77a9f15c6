/**
 * Phantoms: drawn, beating hearts with known truth, for tests and the demo. Nothing here is a real animal.
 *
 * Terms: a *slice* says what each point of the body sends back; a *fan* is the sector on the screen; *truth* is what the
 * drawing was made from.
 */
export * from './clip';
export * from './dicom-clip';
export type { Ruler, ScreenWords } from './furniture';
export { contraction, systoleEnds } from './heart-beat';
export type { HeartSize, PhantomHeart, PhantomSpecies } from './heart-size';
export { heartSize } from './heart-size';
export type { Random } from './random';
export { seededRandom } from './random';
export type { Fan } from './scan-picture';
