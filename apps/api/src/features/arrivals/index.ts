export { registerArrivals } from './arrivals.routes';
export {
  type ArchiveMember,
  type ArrivalRow,
  findArrival,
  receivedBytes,
  safeFileName,
  settleArrival,
  settleLeftovers,
  stillArriving,
  takeMember,
  toArrivalRecord,
} from './arrivals.service';
export { type ArrivalState, arrivals, originals } from './arrivals.tables';
export { registerUploads } from './uploads';
