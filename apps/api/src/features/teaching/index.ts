export { registerTeaching } from './teaching.routes';
