import type { Measured } from './points';

/** What can be read off a drawing. */
export type DrawnQuantity =
  | 'length'
  | 'angle'
  | 'area'
  | 'circumference'
  | 'long-axis'
  | 'short-axis'
  | 'volume'
  | 'axes-differ'
  | 'time'
  | 'rate'
  | 'slope'
  | 'half-time'
  | 'velocity'
  | 'gradient'
  | 'vti'
  | 'peak'
  | 'mean-gradient'
  | 'acceleration-time'
  | 'ejection-time'
  | 'ratio'
  | 'less';

export type DrawnUnit =
  | 'mm'
  | 'deg'
  | 'cm2'
  | 'ml'
  | '%'
  | 'ms'
  | '/min'
  | 'cm/s'
  | 'cm/s2'
  | 'm/s'
  | 'mmHg'
  | 'cm'
  | 'ratio';

/** One number with its unit and what it may be when each point is known only to its pixel. */
export interface DrawnValue {
  readonly quantity: DrawnQuantity;
  readonly value: number;
  readonly unit: DrawnUnit;
  readonly least: number;
  readonly most: number;
}

/** All that one drawing says, the main value first. */
export type DrawnValues = Measured<readonly DrawnValue[]>;

export function drawnValue(
  quantity: DrawnQuantity,
  unit: DrawnUnit,
  value: number,
  least: number,
  most: number,
): DrawnValue {
  return { quantity, value, unit, least, most };
}

/** hypot with the same bits on every machine: only + × √. */
export function hypotenuse(x: number, y: number): number {
  return Math.sqrt(x * x + y * y);
}
