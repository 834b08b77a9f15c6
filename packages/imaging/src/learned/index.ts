export type { VentriclePlace } from './polar-patch';
export type { LearnedTilt } from './short-axis-tilt';
export { learnedShortAxisTilt } from './short-axis-tilt';
export { weightsHash } from './short-axis-weights';
