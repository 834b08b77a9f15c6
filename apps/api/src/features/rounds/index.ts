export { registerRounds } from './rounds.routes';
