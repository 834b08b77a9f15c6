export { registerPatientWork } from './patient-work.routes';
