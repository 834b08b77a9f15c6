export { outcomeOf } from './after-answer.repository';
export { registerAfterAnswer } from './after-answer.routes';
