export { registerMachineAccess } from './machine-access.routes';
