export { registerLive } from './live.routes';
export { canonicalJson, type NewEvent, recordEvent } from './record-event';
export { type SealReport, sealEvents, verifySeals } from './seal-events';
