import type { MeasurementCode, ScanPlanId, Species, ViewId } from '@chordae/contract';

export type Need = 'must' | 'helps';

/** A view of a plan; measurements are listed in the order in which they are best taken. */
export interface PlannedView {
  view: ViewId;
  need: Need;
}

export interface PlannedMeasurement {
  code: MeasurementCode;
  need: Need;
}

/** For one clinical question: the views that must be there, those that help, and what is measured. */
export interface ScanPlan {
  id: ScanPlanId;
  must: readonly ViewId[];
  helps: readonly ViewId[];
  measure: readonly MeasurementCode[];
  measureHelps: readonly MeasurementCode[];
  /** Observations that the question cannot do without. */
  observe: readonly string[];
}

const LONG = 'rps-long-4ch';
const OUTFLOW = 'rps-long-outflow';
const PAPILLARY = 'rps-short-papillary';
const BASE = 'rps-short-aortic';
const PULMONARY = 'rps-short-pulmonary';
const WALLS: readonly MeasurementCode[] = ['ivsd', 'lvidd', 'lvwd', 'ivss', 'lvids', 'lvws'];

const plan = (
  id: ScanPlanId,
  must: readonly ViewId[],
  helps: readonly ViewId[],
  measure: readonly MeasurementCode[],
  measureHelps: readonly MeasurementCode[],
  observe: readonly string[],
): ScanPlan => ({ id, must, helps, measure, measureHelps, observe });

/** The scan plans; views after Thomas et al. 1993 (dog, cat) and Long, Bonagura & Darke 1992 (horse). */
export const scanPlans: readonly ScanPlan[] = [
  plan(
    'breathless',
    ['effusion-sweep', 'lung-points', BASE],
    [LONG],
    [],
    ['la-sax', 'ao-sax', 'la-long', 'breathing-rate', 'heart-rate'],
    ['pericardial-fluid', 'pleural-fluid', 'b-lines', 'la-by-eye'],
  ),
  plan(
    'cat-before-anaesthesia',
    [LONG, OUTFLOW, PAPILLARY, BASE],
    ['lap-5ch', 'lap-4ch', 'effusion-sweep'],
    ['wall-max-d', 'ivsd', 'lvwd', 'lvidd', 'lvids', 'la-sax', 'ao-sax'],
    ['la-long', 'ao-vmax', 'mitral-e', 'mitral-a', 'heart-rate'],
    ['la-clot'],
  ),
  plan(
    'small-dog-murmur',
    [LONG, PAPILLARY, BASE],
    ['lap-4ch', 'rps-short-mitral', 'lung-points'],
    ['lvidd', 'lvids', 'la-sax', 'ao-sax'],
    ['mitral-e', 'mr-vmax', 'tr-vmax', 'vhs', 'heart-rate', 'breathing-rate'],
    ['murmur-grade', 'ever-in-failure'],
  ),
  plan(
    'large-dog-muscle',
    [LONG, PAPILLARY],
    ['rps-short-mitral', 'lap-4ch', BASE],
    ['lvidd', 'lvids', 'heart-rate'],
    ['lv-edv', 'lv-esv', 'epss', 'la-sax', 'ao-sax'],
    ['arrhythmia', 'fainting'],
  ),
  plan(
    'outflow',
    [OUTFLOW, 'subcostal-outflow', PULMONARY],
    ['lap-5ch', LONG, PAPILLARY, BASE],
    ['ao-vmax', 'pa-vmax'],
    ['lvidd', 'ivsd', 'lvwd', 'tr-vmax', 'heart-rate'],
    ['murmur-grade', 'outlet-narrow', 'fainting'],
  ),
  plan(
    'right-heart',
    [LONG, PAPILLARY, PULMONARY, 'lap-4ch'],
    ['lcr-base', BASE],
    ['tr-vmax'],
    ['tapse', 'pa-vmax', 'lvidd', 'heart-rate'],
    ['septum-flat', 'rv-as-large-as-lv', 'worms-in-right-heart'],
  ),
  plan(
    'breeding-screen',
    [LONG, OUTFLOW, PAPILLARY, BASE, PULMONARY, 'subcostal-outflow'],
    ['lap-4ch', 'lap-5ch', 'rps-short-mitral'],
    [...WALLS, 'la-sax', 'ao-sax', 'ao-vmax', 'pa-vmax'],
    ['lv-edv', 'lv-esv', 'epss', 'tr-vmax', 'mitral-e', 'mitral-a', 'heart-rate'],
    ['murmur-grade', 'arrhythmia'],
  ),
  plan(
    'young-murmur',
    [LONG, OUTFLOW, PULMONARY, 'lcr-base'],
    ['subcostal-outflow', 'lap-4ch', PAPILLARY, BASE],
    ['ao-vmax', 'pa-vmax'],
    ['lvidd', 'lvids', 'la-sax', 'ao-sax', 'tr-vmax', 'heart-rate'],
    ['murmur-grade', 'murmur-continuous', 'duct-flow'],
  ),
  plan(
    'collapse',
    ['effusion-sweep', LONG, PAPILLARY],
    ['lcr-base', BASE, PULMONARY, 'lap-4ch'],
    ['heart-rate'],
    ['lvidd', 'lvids', 'la-sax', 'ao-sax', 'tr-vmax', 'ao-vmax'],
    ['pericardial-fluid', 'wall-collapse', 'arrhythmia', 'rv-as-large-as-lv'],
  ),
  plan(
    'follow-up',
    [LONG, PAPILLARY, BASE],
    ['lap-4ch', OUTFLOW, PULMONARY],
    ['lvidd', 'lvids', 'la-sax', 'ao-sax'],
    ['la-long', 'mitral-e', 'tr-vmax', 'vhs', 'heart-rate', 'breathing-rate'],
    ['ever-in-failure'],
  ),
  plan(
    'horse',
    ['eq-r-4ch', 'eq-r-lvot', 'eq-r-short-papillary', 'eq-l-2ch'],
    ['eq-r-rv', 'eq-l-lvot'],
    ['lvidd', 'lvids', 'la-long', 'heart-rate'],
    ['ivsd', 'lvwd', 'tr-vmax', 'mr-vmax', 'ao-vmax'],
    ['arrhythmia', 'ever-in-failure'],
  ),
];

const byId = new Map(scanPlans.map((p) => [p.id, p]));

/** A scan plan by its id. */
export function scanPlan(id: ScanPlanId): ScanPlan {
  return byId.get(id) as ScanPlan;
}

/** The views of a plan, those that must be there first. */
export function viewsOf(id: ScanPlanId): PlannedView[] {
  const { must, helps } = scanPlan(id);
  return [
    ...must.map((view) => ({ view, need: 'must' as const })),
    ...helps.map((view) => ({ view, need: 'helps' as const })),
  ];
}

/** Quantities that make no sense in a species: the thickest wall is a cat's question, TAPSE has limits for dogs only. */
const ONLY_FOR: Partial<Record<MeasurementCode, readonly Species[]>> = {
  'wall-max-d': ['cat'],
  vhs: ['dog', 'cat'],
  tapse: ['dog'],
  epss: ['dog', 'cat', 'horse'],
};

/** The measurements of a plan in the order in which they are best taken. */
export function wantedMeasurements(id: ScanPlanId, species: Species): PlannedMeasurement[] {
  const { measure, measureHelps } = scanPlan(id);
  return [
    ...measure.map((code) => ({ code, need: 'must' as const })),
    ...measureHelps.map((code) => ({ code, need: 'helps' as const })),
  ].filter(({ code }) => ONLY_FOR[code]?.includes(species) ?? true);
}
