import type { ViewId } from '@chordae/contract';
import { exactExp } from '@chordae/units';
import type { GrayFrame } from '../gray-frame';
import { decodedNumbers } from './decoded-numbers';
import type { FanPlace } from './fan-patch';
import { fanPatches } from './fan-patch';
import { networkSize, runNetwork } from './network';
import { levelled } from './polar-patch';
import { viewScales, viewWeightsBase64 } from './view-weights';

/** Views that the model knows, in the order of its outputs. */
export const suggestedViews = [
  'rps-long-4ch',
  'rps-long-outflow',
  'rps-short-papillary',
  'rps-short-chordae',
  'rps-short-mitral',
  'rps-short-aortic',
  'rps-short-pulmonary',
  'lap-4ch',
  'lap-5ch',
  'lcr-base',
  'subcostal-outflow',
  'lung-points',
] as const satisfies readonly ViewId[];

export type SuggestedView = (typeof suggestedViews)[number];

/** Below this share for the likeliest view nothing is suggested. */
export const leastShare = 0.6;

export interface ViewSuggestion {
  /** Likeliest view, or null where the model is not sure enough to say one. */
  readonly view: SuggestedView | null;
  /** Share of each view by the model, in the order of `suggestedViews`; they sum to 1. */
  readonly shares: readonly number[];
}

/** Shares from raw outputs. */
export function sharesOf(raw: Float64Array): number[] {
  const most = raw.reduce((m, v) => Math.max(m, v), Number.NEGATIVE_INFINITY);
  const parts = Array.from(raw, (value) => exactExp(value - most));
  const sum = parts.reduce((a, b) => a + b, 0);
  return parts.map((part) => part / sum);
}

export function suggestionOf(raw: Float64Array): ViewSuggestion {
  const shares = sharesOf(raw);
  const best = shares.indexOf(Math.max(...shares));
  return {
    view: (shares[best] as number) >= leastShare ? (suggestedViews[best] as SuggestedView) : null,
    shares,
  };
}

let numbers: Float64Array | null = null;

/**
 * Suggests which standard view a clip shows, from the mean picture and what moves in it. Always a suggestion, made on computed
 * clips only. null where there are no frames or the sector has no size.
 */
export function suggestView(frames: readonly GrayFrame[], fan: FanPlace): ViewSuggestion | null {
  if (
    frames.length === 0 ||
    !(fan.outerRadiusPx > fan.innerRadiusPx + 8) ||
    !(fan.rightAngleRad > fan.leftAngleRad)
  )
    return null;
  const { mean, spread } = fanPatches(frames, fan);
  const outputs = suggestedViews.length;
  numbers ??= decodedNumbers(viewWeightsBase64, viewScales, networkSize(outputs));
  return suggestionOf(runNetwork(levelled(mean, doubled(spread)), numbers, outputs));
}

/** Movement counts twice: its numbers are smaller than those of brightness. */
export function doubled(values: Float64Array): Float64Array {
  return values.map((value) => 2 * value);
}
