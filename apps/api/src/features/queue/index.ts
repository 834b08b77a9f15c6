export { registerQueue } from './queue.routes';
export { readQueue } from './queue.service';
export { prepareSending, sendReferral, wantsSecondRead } from './sending.service';
