export {
  clinicalWordsIn,
  computeCase,
  latestInterpretation,
  storeInterpretation,
} from './interpretations.service';
