/**
 * What crosses a border, written once: zod schemas, their types, the state table, error codes and the route list.
 */

export * from './clip';
export * from './ids';
export * from './interpretation';
export * from './measurement';
export * from './measurement-codes';
export * from './observation-codes';
export * from './patient';
export * from './scan';
export * from './terms';
