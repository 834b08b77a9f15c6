export { outcomeOf, referralsWithQuestion, threadOf } from './after-answer.repository';
export { registerAfterAnswer } from './after-answer.routes';
