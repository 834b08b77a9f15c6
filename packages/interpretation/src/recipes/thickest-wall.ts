import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import type { Caution, IndexDraft } from '../indices';
import type { Reading } from '../readings';
import { measurementCv, relativeInterval } from '../uncertainty';
import { meanText } from './arithmetic';
import { wallCautions } from './left-ventricle';

/** Weight matters to cat walls below 3 and above 6 kg (Schober 2017, 10.1292/jvms.17-0250). */
function catWeightCautions(facts: CaseFacts): Caution[] {
  if (facts.kg === null || (facts.kg >= 3 && facts.kg <= 6)) return [];
  return [{ code: 'CAT_WALL_WEIGHT_MATTERS', data: { weightKg: facts.kg } }];
}

/** Thickest end-diastolic wall of a cat, mm: the largest of the segments given. */
export function thickestWall(facts: CaseFacts): IndexDraft | null {
  if (facts.species !== 'cat') return null;
  const segments = (['wall-max-d', 'ivsd', 'lvwd'] as const)
    .map((code) => reading(facts, code))
    .filter((r): r is Reading => r !== null);
  let thickest = segments[0];
  for (const segment of segments) if (thickest && segment.value > thickest.value) thickest = segment;
  if (!thickest) return null;
  const cv = measurementCv(facts.species, 'lvidd');
  const only = segments.length === 1 && thickest.code !== 'wall-max-d';
  return {
    code: 'wall-max-d',
    kind: 'wall',
    value: thickest.value,
    unit: 'mm',
    readings: [thickest],
    shape: { kind: 'proportional', by: 1 },
    beats: thickest.beats,
    arithmetic: `thickest wall of ${segments.length} given = ${meanText(thickest)} mm (${thickest.code})`,
    interval: cv === null ? null : relativeInterval(thickest.value, cv),
    usesWeight: false,
    gradable: true,
    cautions: [
      ...wallCautions(facts, thickest),
      ...(only ? [{ code: 'ONE_SEGMENT_ONLY', data: { measurement: thickest.code } }] : []),
      ...catWeightCautions(facts),
    ],
  };
}
