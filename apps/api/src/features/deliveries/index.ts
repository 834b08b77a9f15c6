export { registerDeliveries } from './deliveries.routes';
export { tellGroup } from './tell-group';
export { type MailSender, queueWaitingMails, sendMails, tellPractice } from './tell-practice';
export { watchEmergency } from './watch-emergency';
