import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import { fixed, trimmed } from '../format-number';
import type { Index, IndexDraft } from '../indices';
import { finishIndex } from '../indices';
import { relativeInterval, repeatability } from '../uncertainty';

/** Body surface of a dog in m²: 0.101 · kg^(2/3) (Meeh form, K 10.1, exponent 2/3). `dogSurfaceM2(10)` is 0.4688. */
export function dogSurfaceM2(kg: number): number {
  return 0.101 * exactPow(kg, 2 / 3);
}

/** Left ventricular volume in ml by Teichholz 1976: 7 / (2.4 + D) · D³, D in cm. `teichholzMl(4)` is 70. */
export function teichholzMl(diameterCm: number): number {
  return (7 / (2.4 + diameterCm)) * diameterCm * diameterCm * diameterCm;
}

function perSurface(facts: CaseFacts, code: 'edvi' | 'esvi', from: 'lv-edv' | 'lv-esv'): IndexDraft | null {
  const volume = reading(facts, from);
  if (!volume || facts.kg === null || facts.species !== 'dog') return null;
  const surface = dogSurfaceM2(facts.kg);
  const value = volume.value / surface;
  const cv = repeatability(facts.species, code)?.cvPercent ?? null;
  return {
    code,
    kind: 'size',
    value,
    unit: 'ml/m2',
    readings: [volume],
    beats: volume.beats.map((b) => b / surface),
    arithmetic: `${code.toUpperCase()} = ${fixed(volume.value, 1)} ml / (0.101 × (${trimmed(facts.kg, 2)} kg)^(2/3) = ${fixed(surface, 3)} m²) = ${fixed(value, 1)} ml/m²`,
    interval: cv === null ? null : relativeInterval(value, cv),
    usesWeight: true,
    cautions: [],
  };
}

function ejectionFraction(facts: CaseFacts): IndexDraft | null {
  const edv = reading(facts, 'lv-edv');
  const esv = reading(facts, 'lv-esv');
  if (!edv || !esv || edv.value <= 0) return null;
  const value = (100 * (edv.value - esv.value)) / edv.value;
  return {
    code: 'ef',
    kind: 'function',
    value,
    unit: '%',
    readings: [edv, esv],
    beats: [],
    arithmetic: `EF = (${fixed(edv.value, 1)} − ${fixed(esv.value, 1)}) ml / ${fixed(edv.value, 1)} ml × 100 = ${fixed(value, 1)} %`,
    interval: null,
    usesWeight: false,
    cautions: edv.view === esv.view ? [] : [{ code: 'MIXED_VIEWS_OR_METHODS', data: { index: 'ef' } }],
  };
}

/** Volumes from one diameter overestimate a round ventricle (Serres 2008, 10.1111/j.1939-1676.2008.0097.x): never graded. */
function teichholz(facts: CaseFacts): IndexDraft | null {
  const d = reading(facts, 'lvidd');
  const s = reading(facts, 'lvids');
  if (!d || !s || facts.species === 'horse') return null;
  const edv = teichholzMl(d.value / 10);
  const esv = teichholzMl(s.value / 10);
  if (edv <= 0) return null;
  const value = (100 * (edv - esv)) / edv;
  return {
    code: 'ef-teichholz',
    kind: 'function',
    value,
    unit: '%',
    readings: [d, s],
    beats: [],
    arithmetic: `EF (Teichholz) = (${fixed(edv, 1)} − ${fixed(esv, 1)}) ml / ${fixed(edv, 1)} ml × 100 = ${fixed(value, 1)} %`,
    interval: null,
    usesWeight: false,
    cautions: [{ code: 'TEICHHOLZ_ASSUMES_SHAPE', data: {} }],
    gradable: false,
  };
}

/** Indices from volumes: by discs over the body surface (dog), ejection fraction, and Teichholz as a caution only. */
export function volumeIndices(facts: CaseFacts): Index[] {
  return [
    perSurface(facts, 'edvi', 'lv-edv'),
    perSurface(facts, 'esvi', 'lv-esv'),
    ejectionFraction(facts),
    teichholz(facts),
  ]
    .filter((d): d is IndexDraft => d !== null)
    .map((d) => finishIndex(facts, d));
}
