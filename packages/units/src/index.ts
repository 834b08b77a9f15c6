/**
 * Branded quantities. A number with a brand has a unit that the compiler checks; brands are made only here.
 *
 * Terms: a *quantity* is a number with its unit in the type; *canonical* units on the wire are mm, m/s, ms, kg, per minute, ml.
 */

export * from './exact-angle';
export * from './exact-math';
export * from './heart-rate';
export * from './length';
export * from './mass';
