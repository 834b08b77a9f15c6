/** Builds an invented case for the outside checks; the engine's own test builder, reached by path. */
export { caseOf } from '../../packages/interpretation/src/testing/case-builder';
