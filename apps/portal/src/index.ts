export { endpoints } from './host/endpoints';
