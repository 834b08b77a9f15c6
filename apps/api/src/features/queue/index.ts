export { registerQueue } from './queue.routes';
export { readQueue } from './queue.service';
export { prepareSending, sendReferral, urgencyThatStands, wantsSecondRead } from './sending.service';
