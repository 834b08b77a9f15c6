export { registerDeliveries } from './deliveries.routes';
export { type MailSender, sendMails, tellPractice } from './tell-practice';
