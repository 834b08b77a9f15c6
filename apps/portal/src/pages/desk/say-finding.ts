import type { MeasuringFinding } from '@chordae/measurement';
import { measuringFindings } from '@chordae/words';

/** Every finding of the measuring package has its sentence: the compiler sees to it. */
const WORDS: Record<MeasuringFinding, string> = measuringFindings;

/** Why no number is given, in a sentence. */
export function sayFinding(finding: MeasuringFinding): string {
  return WORDS[finding];
}
