import type { ViewId } from '@chordae/contract';
import type { BodyKind } from '@chordae/figure';
import type { ExampleId } from '@chordae/words';
import type { AskedExample } from '../../host/clips/example-worker';

/** What is drawn for each example. A tilt of 35 degrees is far more than a usual slip: it should be seen at once. */
export const drawnAs: Readonly<Record<ExampleId, AskedExample>> = {
  normal: { heart: 'normal' },
  tilted: { heart: 'normal', tiltDeg: 35 },
  dilated: { heart: 'dilated' },
  'mitral-leak': { heart: 'mitral-leak' },
  // The ventricle is not in this view: more of its disease is a larger atrium here.
  'large-left-atrium': { heart: 'dilated', severity: 1.67 },
  'thick-walls': { heart: 'thick-walls' },
  'right-overload': { heart: 'right-overload' },
  'narrow-outflow': { heart: 'narrow-outflow' },
  'pericardial-effusion': { heart: 'pericardial-effusion' },
  'pleural-effusion': { heart: 'pleural-effusion' },
  'wet-lung': { heart: 'normal', bLines: 5 },
};

/** What is worth seeing in each view besides the normal one: changes that this view shows well (common practice). */
const abnormal: Readonly<Record<ViewId, readonly ExampleId[]>> = {
  'rps-long-4ch': ['mitral-leak', 'dilated', 'thick-walls', 'right-overload', 'pericardial-effusion'],
  'rps-long-outflow': ['narrow-outflow', 'thick-walls'],
  'rps-short-papillary': ['tilted', 'dilated', 'thick-walls', 'right-overload', 'pericardial-effusion'],
  'rps-short-chordae': ['tilted', 'dilated', 'thick-walls'],
  'rps-short-mitral': ['dilated'],
  'rps-short-aortic': ['mitral-leak', 'large-left-atrium'],
  'rps-short-pulmonary': ['right-overload'],
  'lap-4ch': ['mitral-leak', 'dilated', 'right-overload'],
  'lap-5ch': ['narrow-outflow'],
  'lcr-base': [],
  'subcostal-outflow': ['narrow-outflow'],
  'effusion-sweep': ['pericardial-effusion', 'pleural-effusion'],
  'lung-points': ['wet-lung'],
  'eq-r-4ch': ['mitral-leak', 'pericardial-effusion'],
  'eq-r-lvot': [],
  'eq-r-rv': ['right-overload'],
  'eq-r-short-papillary': ['tilted', 'dilated'],
  'eq-l-2ch': ['mitral-leak'],
  'eq-l-lvot': [],
  other: [],
};

/** Not shown as this species' typical picture (common practice). */
const unusual: Readonly<Record<BodyKind, readonly ExampleId[]>> = {
  // A dog's large atrium is shown with its usual cause, the leaking valve.
  dog: ['large-left-atrium'],
  cat: ['mitral-leak'],
  horse: ['thick-walls', 'narrow-outflow', 'large-left-atrium'],
};

/** The moving examples of a view, the normal one first. */
export function examplesOf(view: ViewId, kind: BodyKind): readonly ExampleId[] {
  return ['normal', ...abnormal[view].filter((example) => !unusual[kind].includes(example))];
}
