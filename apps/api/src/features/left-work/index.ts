export { registerLeftWork } from './left-work.routes';
