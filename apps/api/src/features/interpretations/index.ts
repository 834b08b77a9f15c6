export { standing } from './case-input';
export {
  clinicalWordsIn,
  computeCase,
  latestInterpretation,
  storeInterpretation,
} from './interpretations.service';
