import { regionsWith } from '@chordae/measurement';
import type { MeasuredClip } from './canvas/reading';

/** Can anything be measured on a clip: by its file or by a person's word. */
export function scaleState({ description, calibration }: MeasuredClip): 'there' | 'missing' | 'implausible' {
  const regions = regionsWith(description, calibration).filter((r) => r.kind !== 'other');
  if (regions.some((r) => r.usable)) return 'there';
  return regions.length > 0 ? 'implausible' : 'missing';
}
