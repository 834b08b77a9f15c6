export { registerLearning } from './learning.routes';
