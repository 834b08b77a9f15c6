import type { ViewId } from '@chordae/contract';
import { apicalFive, apicalFour, subcostal } from './views/apical';
import type { ViewDrawing } from './views/drawing';
import { horseLeftOutflow, horseLeftTwoChamber, horseRightInflowOutflow } from './views/horse';
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
  // From the horse's right side these three show the same structures in the same order.
  'eq-r-4ch': longFourChamber,
  'eq-r-lvot': longOutflow,
  'eq-r-short-papillary': shortPapillary,
  'eq-r-rv': horseRightInflowOutflow,
  'eq-l-2ch': horseLeftTwoChamber,
  'eq-l-lvot': horseLeftOutflow,
  other: plainSector,
};

/** The line drawing of a view, in its own units. `viewDrawing('lap-4ch').width` is 240. */
export function viewDrawing(view: ViewId): ViewDrawing {
  return drawings[view];
}
