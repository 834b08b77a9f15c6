export { registerPracticePage } from './practice-page.routes';
