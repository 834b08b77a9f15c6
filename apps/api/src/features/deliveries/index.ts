export { registerDeliveries } from './deliveries.routes';
export { type MailSender, queueWaitingMails, sendMails, tellPractice } from './tell-practice';
