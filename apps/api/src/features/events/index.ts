export { registerLive } from './live.routes';
export { type NewEvent, recordEvent } from './record-event';
export { type SealReport, sealEvents, verifySeals } from './seal-events';
