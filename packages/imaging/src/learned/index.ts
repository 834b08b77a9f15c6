export type { FanPlace } from './fan-patch';
export type { VentriclePlace } from './polar-patch';
export type { LearnedTilt } from './short-axis-tilt';
export { learnedShortAxisTilt } from './short-axis-tilt';
export { weightsHash } from './short-axis-weights';
export type { SuggestedView, ViewSuggestion } from './view-suggestion';
export { leastShare, suggestedViews, suggestView } from './view-suggestion';
export { viewHash } from './view-weights';
