export { registerMonthAccount } from './month-account.routes';
