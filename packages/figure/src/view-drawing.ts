import type { ViewId } from '@chordae/contract';
import { apicalFive, apicalFour, subcostal } from './views/apical';
import type { ViewDrawing } from './views/drawing';
import { longFourChamber, longOutflow } from './views/long-axis';
import { effusionSweep, leftCranialBase, lungPoints, plainSector } from './views/others';
import { shortAortic, shortChordae, shortMitral, shortPapillary, shortPulmonary } from './views/short-axis';

const drawings: Record<ViewId, ViewDrawing> = {
  'rps-long-4ch': longFourChamber,
  'rps-long-outflow': longOutflow,
  'rps-short-papillary': shortPapillary,
  'rps-short-chordae': shortChordae,
  'rps-short-mitral': shortMitral,
  'rps-short-aortic': shortAortic,
  'rps-short-pulmonary': shortPulmonary,
  'lap-4ch': apicalFour,
  'lap-5ch': apicalFive,
  'lcr-base': leftCranialBase,
  'subcostal-outflow': subcostal,
  'effusion-sweep': effusionSweep,
  'lung-points': lungPoints,
  // The horse's views show the same structures from the same side; own drawings are still to be made.
  'eq-r-4ch': longFourChamber,
  'eq-r-lvot': longOutflow,
  'eq-r-rv': shortPulmonary,
  'eq-r-short-papillary': shortPapillary,
  'eq-l-2ch': plainSector,
  'eq-l-lvot': plainSector,
  other: plainSector,
};

/** The line drawing of a view, in its own units. `viewDrawing('lap-4ch').width` is 240. */
export function viewDrawing(view: ViewId): ViewDrawing {
  return drawings[view];
}
