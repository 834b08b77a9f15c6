export { engineNewsOf } from './engine-news';
export { registerInterpretations } from './interpretations.routes';
export {
  clinicalWordsIn,
  computeCase,
  latestInterpretation,
  storeInterpretation,
} from './interpretations.service';
export { renewOpenReferrals } from './renew';
