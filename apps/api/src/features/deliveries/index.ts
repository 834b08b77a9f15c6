export { registerDeliveries } from './deliveries.routes';
export { tellGroup } from './tell-group';
export { type MailSender, queueWaitingMails, sendMails, tellPractice } from './tell-practice';
export { tellReport } from './tell-report';
export { watchEmergency } from './watch-emergency';
