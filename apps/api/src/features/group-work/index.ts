export { registerGroupWork } from './group-work.routes';
