export { referralsWithQuestion, threadOf } from './messages.repository';
export { registerMessages } from './messages.routes';
