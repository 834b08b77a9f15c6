import type { MeasurementCode } from '@chordae/contract';
import { exactPow } from '@chordae/units';
import type { CaseFacts } from '../case-facts';
import { reading } from '../case-facts';
import { fixed, trimmed } from '../format-number';
import type { Index, IndexDraft } from '../indices';
import { finishIndex } from '../indices';
import { limitsFor } from '../limits/apply-limit';
import type { Reading } from '../readings';
import { relativeInterval, repeatability } from '../uncertainty';

/** Weight-normalised size = cm / kg^exponent. An exponent belongs to its author's limits and to no others. */
const NORMALISED = [
  { code: 'lviddn', from: 'lvidd', name: 'LVIDDN', source: 'LVIDd', exponent: 0.294, maxKgBelow: null },
  { code: 'lvidsn', from: 'lvids', name: 'LVIDSN', source: 'LVIDs', exponent: 0.315, maxKgBelow: null },
  {
    code: 'lviddn-toy',
    from: 'lvidd',
    name: 'LVIDDN (toy)',
    source: 'LVIDd',
    exponent: 0.332,
    maxKgBelow: 5,
  },
] as const;

/** Sizes that are shown as measured, with limits at this weight, this breed or fixed. */
const SIZES: readonly { code: MeasurementCode; name: string; wall: boolean }[] = [
  { code: 'lvidd', name: 'LVIDd', wall: false },
  { code: 'lvids', name: 'LVIDs', wall: false },
  { code: 'ivsd', name: 'IVSd', wall: true },
  { code: 'ivss', name: 'IVSs', wall: true },
  { code: 'lvwd', name: 'LVWd', wall: true },
  { code: 'lvws', name: 'LVWs', wall: true },
];

function cvOf(facts: CaseFacts): number | null {
  return repeatability(facts.species, 'linear-lv')?.cvPercent ?? null;
}

function normalised(facts: CaseFacts, kg: number): IndexDraft[] {
  const cv = cvOf(facts);
  return NORMALISED.flatMap(({ code, from, name, source, exponent, maxKgBelow }) => {
    const size = reading(facts, from);
    if (!size || (maxKgBelow !== null && kg >= maxKgBelow)) return [];
    const scale = exactPow(kg, exponent);
    const value = size.value / 10 / scale;
    return [
      {
        code,
        kind: 'size' as const,
        value,
        unit: `cm/kg^${exponent}`,
        readings: [size],
        beats: size.beats.map((b) => b / 10 / scale),
        arithmetic: `${name} = ${source} ${fixed(size.value / 10, 2)} cm / (${trimmed(kg, 2)} kg)^${exponent} = ${fixed(value, 2)}`,
        interval: cv === null ? null : relativeInterval(value, cv),
        usesWeight: true,
        cautions: [],
      },
    ];
  });
}

function hasOwnLimits(facts: CaseFacts, code: string): boolean {
  return facts.breed !== null && limitsFor(facts, code).length > 0;
}

function plainSizes(facts: CaseFacts): IndexDraft[] {
  const cv = cvOf(facts);
  return SIZES.flatMap(({ code, name, wall }) => {
    const size = reading(facts, code);
    if (!size) return [];
    // A dog's cavity is graded by its weight-normalised size: the plain one stands only for a breed's own limits, or
    // where no weight is known, so that it is not lost.
    const plain = wall || facts.species !== 'dog' || facts.kg === null || hasOwnLimits(facts, code);
    if (!plain) return [];
    const cautions = wall ? wallCautions(facts, size) : [];
    return [
      {
        code,
        kind: wall ? ('wall' as const) : ('size' as const),
        value: size.value,
        unit: 'mm',
        readings: [size],
        beats: size.beats,
        arithmetic: `${name} = ${meanText(size)} mm`,
        interval: cv === null ? null : relativeInterval(size.value, cv),
        usesWeight: facts.species === 'dog',
        cautions,
      },
    ];
  });
}

/** '38.2' for one beat, '(38.0 + 38.4) / 2 = 38.2' for several. */
export function meanText(size: Reading): string {
  const mean = fixed(size.value, 1);
  return size.beats.length < 2
    ? mean
    : `(${size.beats.map((b) => fixed(b, 1)).join(' + ')}) / ${size.beats.length} = ${mean}`;
}

/** A wall carries its view and mode: in cats the long axis reads about 0.4 mm thicker (Novo Matos 2023). */
export function wallCautions(
  facts: CaseFacts,
  size: Reading,
): { code: string; data: Record<string, string> }[] {
  if (facts.species !== 'cat') return [];
  const data = { measurement: size.code, view: size.view ?? '' };
  if (size.view === null) return [{ code: 'WALL_VIEW_NOT_GIVEN', data }];
  if (size.method === 'm-mode') return [{ code: 'WALL_M_MODE', data }];
  return size.view.startsWith('rps-long') ? [{ code: 'WALL_LONG_AXIS_READS_THICKER', data }] : [];
}

function pairedBeats(d: Reading, s: Reading): number[] {
  if (d.beats.length < 2 || d.beats.length !== s.beats.length) return [];
  return d.beats.map((value, i) => (100 * (value - (s.beats[i] as number))) / value);
}

/** Fractional shortening, %: (LVIDd − LVIDs) / LVIDd. Both on the same view by the same method, else a caution. */
function fractionalShortening(facts: CaseFacts): IndexDraft | null {
  const d = reading(facts, 'lvidd');
  const s = reading(facts, 'lvids');
  if (!d || !s || d.value <= 0) return null;
  const value = (100 * (d.value - s.value)) / d.value;
  const cv = repeatability(facts.species, 'fs')?.cvPercent ?? null;
  const mixed = d.view !== s.view || d.method !== s.method;
  return {
    code: 'fs',
    kind: 'function',
    value,
    unit: '%',
    readings: [d, s],
    beats: pairedBeats(d, s),
    arithmetic: `FS = (${fixed(d.value / 10, 2)} − ${fixed(s.value / 10, 2)}) cm / ${fixed(d.value / 10, 2)} cm × 100 = ${fixed(value, 1)} %`,
    interval: cv === null ? null : relativeInterval(value, cv),
    usesWeight: false,
    cautions: mixed ? [{ code: 'MIXED_VIEWS_OR_METHODS', data: { index: 'fs' } }] : [],
  };
}

/** EPSS, mm: general practitioners measure it neither repeatably nor reliably (Kennedy 2026, 10.1093/jvimsj/aalaf090). */
function epss(facts: CaseFacts): IndexDraft | null {
  const size = reading(facts, 'epss');
  if (!size) return null;
  return {
    code: 'epss',
    kind: 'size',
    value: size.value,
    unit: 'mm',
    readings: [size],
    beats: size.beats,
    arithmetic: `EPSS = ${meanText(size)} mm`,
    interval: null,
    usesWeight: false,
    cautions: [{ code: 'EPSS_HARD_TO_REPEAT', data: {} }],
  };
}

/** Thickest end-diastolic wall of a cat, mm: the largest of the segments given. */
function thickestWall(facts: CaseFacts): IndexDraft | null {
  if (facts.species !== 'cat') return null;
  const segments = (['wall-max-d', 'ivsd', 'lvwd'] as const)
    .map((code) => reading(facts, code))
    .filter((r): r is Reading => r !== null);
  let thickest = segments[0];
  for (const segment of segments) if (thickest && segment.value > thickest.value) thickest = segment;
  if (!thickest) return null;
  const cv = cvOf(facts);
  const only = segments.length === 1 && thickest.code !== 'wall-max-d';
  return {
    code: 'wall-max-d',
    kind: 'wall',
    value: thickest.value,
    unit: 'mm',
    readings: [thickest],
    beats: thickest.beats,
    arithmetic: `thickest wall of ${segments.length} given = ${meanText(thickest)} mm (${thickest.code})`,
    interval: cv === null ? null : relativeInterval(thickest.value, cv),
    usesWeight: false,
    cautions: [
      ...wallCautions(facts, thickest),
      ...(only ? [{ code: 'ONE_SEGMENT_ONLY', data: { measurement: thickest.code } }] : []),
      ...catWeightCautions(facts),
    ],
  };
}

/** Weight matters to cat walls below 3 and above 6 kg (Schober 2017, 10.1292/jvms.17-0250). */
function catWeightCautions(facts: CaseFacts): { code: string; data: Record<string, number> }[] {
  if (facts.kg === null || (facts.kg >= 3 && facts.kg <= 6)) return [];
  return [{ code: 'CAT_WALL_WEIGHT_MATTERS', data: { weightKg: facts.kg } }];
}

/** All indices of the left ventricle that these measurements allow. Dogs: weight-normalised; without a weight none of those. */
export function ventricleIndices(facts: CaseFacts): Index[] {
  const drafts: (IndexDraft | null)[] = [];
  if (facts.species === 'dog' && facts.kg !== null) drafts.push(...normalised(facts, facts.kg));
  drafts.push(...plainSizes(facts), thickestWall(facts), fractionalShortening(facts), epss(facts));
  return drafts.filter((d): d is IndexDraft => d !== null).map((d) => finishIndex(facts, d));
}
