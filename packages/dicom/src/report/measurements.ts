import type { CanonicalUnit, MachineMeasurement, MeasurementCode } from '@chordae/contract';
import { measurementCodes } from '@chordae/contract';
import type { CodedMeasurement, Concept, Method } from './code-map';
import { codeMap } from './code-map-data';
import type { ContentItem } from './content';

/** Concepts of the templates that qualify a number (PS3.16 TID 5202, 5203, 5301, 5302; PS3.17 N.2). */
const qualifiers = {
  mode: ['399264008', 'G-0373'],
  site: ['363698007', 'G-C0E3'],
  method: ['370129005', 'G-C036'],
  flow: ['260674002', 'G-C048'],
  view: ['111031'],
  phase: ['272518008', 'R-4089A'],
  derivation: ['121401'],
  selection: ['121404'],
  label: ['125309'],
} as const;
type Qualifier = keyof typeof qualifiers;
type Qualified = Readonly<Partial<Record<Qualifier, Concept>>>;

const mostMeasurements = 2000;

/**
 * The numbers of a report, in its order, each with what its section and its own modifiers say. What the code map knows,
 * with all that it needs beside it and a unit that converts, names one of our measurements; everything else keeps its
 * own name and is for reading only.
 */
export function reportMeasurements(root: ContentItem): MachineMeasurement[] {
  const found: { readonly item: ContentItem; readonly says: Qualified }[] = [];
  const walk = (item: ContentItem, outer: Qualified): void => {
    const says = { ...outer, ...qualifiersOf(item) };
    for (const child of item.children) {
      if (found.length >= mostMeasurements) return;
      if (child.kind === 'NUM') found.push({ item: child, says: { ...says, ...qualifiersOf(child) } });
      else if (child.kind === 'CONTAINER') walk(child, says);
    }
  };
  walk(root, {});
  return withBeats(
    found.flatMap(({ item, says }) => (item.number === null ? [] : [measurementOf(item, says)])),
  );
}

function qualifiersOf(item: ContentItem): Qualified {
  const found: Partial<Record<Qualifier, Concept>> = {};
  for (const child of item.children) {
    if (child.concept === null || !/^HAS (CONCEPT MOD|ACQ CONTEXT)$/.test(child.relationship)) continue;
    for (const name of Object.keys(qualifiers) as Qualifier[])
      if ((qualifiers[name] as readonly string[]).includes(child.concept.code)) {
        const value =
          child.coded ?? (child.words === null ? null : { scheme: '', code: '', meaning: child.words });
        if (value !== null) found[name] = current(value);
      }
  }
  return found;
}

/** A concept of the old scheme by the code that it became. */
function current(concept: Concept): Concept {
  if (!/^(SRT|SNM3|99SDM)$/.test(concept.scheme)) return concept;
  const twin = codeMap.twins.find((known) => known.srt === concept.code);
  return twin === undefined ? concept : { ...concept, scheme: 'SCT', code: twin.sct };
}

function measurementOf(item: ContentItem, says: Qualified): MachineMeasurement {
  const concept = current(item.concept ?? { scheme: '', code: '', meaning: '' });
  const written = item.number?.written ?? '';
  const unit = item.number?.unit ?? null;
  const known = knownAs(concept, says);
  const value =
    known === null || unit === null
      ? null
      : converted(item.number?.value ?? Number.NaN, unit, known.measurement);
  const source = sourceOf(item);
  return {
    code: value === null ? null : (known?.measurement ?? null),
    name: concept.meaning || says.label?.meaning || concept.code || 'without a name',
    concept: `${concept.code} ${concept.scheme}`.trim(),
    written,
    unitWritten: unit?.code ?? '',
    value: value?.value ?? null,
    unit: value?.unit ?? null,
    method: known?.method ?? methodOf(says.mode),
    view: codeMap.views.find((entry) => entry.code === says.view?.code)?.view ?? null,
    beat: null,
    averaged: [says.derivation?.code, says.selection?.code].some(
      (code) => code !== undefined && codeMap.averages.includes(code),
    ),
    chosen: says.selection?.code === '121410',
    says: (['site', 'mode', 'view', 'flow', 'phase', 'method', 'derivation'] as const).flatMap((name) => {
      const meaning = says[name]?.meaning;
      return meaning === undefined || meaning === '' ? [] : [meaning];
    }),
    imageUid: source?.uid ?? null,
    frame: source?.frame ?? null,
  };
}

/** Rows of the map whose needs are met; two that disagree mean that it is not known. */
function knownAs(concept: Concept, says: Qualified): CodedMeasurement | null {
  const has = (codes: readonly string[] | undefined, found: Concept | undefined): boolean =>
    codes === undefined || (found !== undefined && codes.includes(found.code));
  const fitting = codeMap.measurements.filter(
    (entry) =>
      entry.code === concept.code &&
      entry.scheme === concept.scheme &&
      has(entry.needs?.sites, says.site) &&
      has(entry.needs?.flows, says.flow) &&
      has(entry.needs?.methods, says.method) &&
      has(entry.needs?.views, says.view),
  );
  return fitting.length === 1 ? (fitting[0] ?? null) : null;
}

function methodOf(mode: Concept | undefined): Method | null {
  return codeMap.modes.find((entry) => entry.code === mode?.code)?.method ?? null;
}

function converted(
  value: number,
  unit: Concept,
  measurement: MeasurementCode,
): { readonly value: number; readonly unit: CanonicalUnit } | null {
  const wanted = measurementCodes[measurement].unit;
  const step = codeMap.units.find((entry) => entry.ucum === unit.code && entry.unit === wanted);
  if (step === undefined || !Number.isFinite(value)) return null;
  // Twelve places hide what the multiplication adds to a decimal number.
  return { value: Number((value * step.factor).toPrecision(12)), unit: wanted };
}

/** The picture that a number was taken from: its own image, or that of its coordinates. */
function sourceOf(item: ContentItem): ContentItem['image'] {
  for (const child of item.children) {
    if (child.relationship !== 'INFERRED FROM') continue;
    if (child.image !== null) return child.image;
    const below = child.children.find((inner) => inner.image !== null);
    if (below !== undefined) return below.image;
  }
  return null;
}

/** Numbers of the same kind, one after the other, are beats; an average is none. */
function withBeats(all: readonly MachineMeasurement[]): MachineMeasurement[] {
  const key = (entry: MachineMeasurement): string =>
    [entry.concept, entry.unitWritten, ...entry.says].join('|');
  const single = new Map<string, number>();
  for (const entry of all) if (!entry.averaged) single.set(key(entry), (single.get(key(entry)) ?? 0) + 1);
  const counted = new Map<string, number>();
  return all.map((entry) => {
    if (entry.averaged || (single.get(key(entry)) ?? 0) < 2) return entry;
    const beat = (counted.get(key(entry)) ?? 0) + 1;
    counted.set(key(entry), beat);
    return { ...entry, beat };
  });
}
