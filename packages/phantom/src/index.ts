/**
 * Phantoms: computed, beating hearts with known truth, for tests, teaching and the demo. Nothing here is a real animal.
 *
 * Terms: an *anatomy* is one heart at end diastole, in cm; a *plane* cuts it; a *fan* is the sector on the screen; a *recipe* turns
 * echoes into grey; a *family* is a range of hearts and recipes; *truth* is what the picture was made from.
 */
export type { Anatomy, Variation } from './anatomy';
export { buildAnatomy, plainVariation } from './anatomy';
export * from './avi';
export type { Chamber } from './chambers';
export { chambers } from './chambers';
export * from './clip';
export type { CutPlane } from './cut-plane';
export { tilted } from './cut-plane';
export * from './dicom-clip';
export { exampleWish } from './example-wish';
export type { Fan } from './fan';
export { fanFor } from './fan';
export type { ScreenFurniture, ScreenWords, TraceLine } from './furniture';
export { plainFurniture } from './furniture';
export { contraction, systoleEnds } from './heart-beat';
export type { HeartSize, PhantomHeart, PhantomSpecies } from './heart-size';
export { heartSize, phantomHearts } from './heart-size';
export * from './m-mode';
export type { Outline, OutlineShape } from './outlines';
export { outlineMask, outlineShape } from './outlines';
export type { Random } from './random';
export { normalish, seededRandom } from './random';
export * from './random-cine';
export type { Recipe } from './recipe';
export { plainRecipe } from './recipe';
export * from './refilmed';
export type { Ruler, RulerStyle } from './ruler';
export { rulerStyles } from './ruler';
export * from './screen-panels';
export * from './screen-picture';
export * from './spectral';
export { splitScreen } from './split-screen';
export type { PhantomView } from './views';
export { phantomViews, planeFor } from './views';
