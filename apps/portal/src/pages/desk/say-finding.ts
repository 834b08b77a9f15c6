import type { MeasuringFinding } from '@chordae/measurement';
import { sayProblem } from '@chordae/words';

const OWN: Partial<Record<MeasuringFinding, string>> = {
  REGION_WITHOUT_LENGTH:
    'This part of the picture is not scaled in centimetres: a length cannot be measured in it.',
};

/** Why no number is given, in a sentence. */
export function sayFinding(finding: MeasuringFinding): string {
  return OWN[finding] ?? sayProblem({ code: finding, data: {} });
}
