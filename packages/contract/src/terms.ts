import { z } from 'zod';

export const species = z.enum(['dog', 'cat', 'horse', 'ferret', 'rabbit', 'other']);
export type Species = z.infer<typeof species>;

export const sex = z.enum(['female', 'male', 'unknown']);
export type Sex = z.infer<typeof sex>;

export const urgency = z.enum(['emergency', 'urgent', 'routine']);
export type Urgency = z.infer<typeof urgency>;

/** The questions people really ask; each has a scan plan. */
export const scanPlanId = z.enum([
  'breathless',
  'cat-before-anaesthesia',
  'small-dog-murmur',
  'large-dog-muscle',
  'outflow',
  'right-heart',
  'breeding-screen',
  'young-murmur',
  'collapse',
  'follow-up',
  'horse',
]);
export type ScanPlanId = z.infer<typeof scanPlanId>;

/** Standard views: window, axis, level (Thomas et al. 1993 for dog and cat; Long, Bonagura & Darke 1992 for the horse). */
export const viewId = z.enum([
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
  'effusion-sweep',
  'lung-points',
  'eq-r-4ch',
  'eq-r-lvot',
  'eq-r-rv',
  'eq-r-short-papillary',
  'eq-l-2ch',
  'eq-l-lvot',
  'other',
]);
export type ViewId = z.infer<typeof viewId>;
/** Standard views of the horse, and those of all smaller animals, in the order in which they are scanned. */
export const horseViews: readonly ViewId[] = viewId.options.filter((view) => view.startsWith('eq-'));
export const smallAnimalViews: readonly ViewId[] = viewId.options.filter(
  (view) => view !== 'other' && !horseViews.includes(view),
);

export const practiceRole = z.enum(['referring-vet', 'sonographer', 'manager']);
export const groupRole = z.enum(['cardiologist', 'lead']);
export const role = z.enum(['referring-vet', 'sonographer', 'manager', 'cardiologist', 'lead']);
export type Role = z.infer<typeof role>;

/** The structures an opinion speaks about, in reading order. */
export const structure = z.enum([
  'pericardium-pleura',
  'left-ventricle',
  'left-atrium',
  'mitral',
  'aortic-outflow',
  'right-heart',
  'tricuspid-pulmonic',
  'great-vessels',
  'rhythm',
]);
export type Structure = z.infer<typeof structure>;
export const structures: readonly Structure[] = structure.options;
