export { type Device } from './device';
export type { KeptConflict, Op } from './kept';
export { heldBack } from './outbox';
export { device, startDevice } from './start';
export { useAsOf, useConflicts, useDevice, useLine, useOps } from './use-device';
export { rowOf, WRITES } from './write-routes';
