export { registerArrivals } from './arrivals.routes';
export {
  type ArrivalRow,
  findArrival,
  receivedBytes,
  settleArrival,
  settleLeftovers,
  toArrivalRecord,
} from './arrivals.service';
export { type ArrivalState, arrivals, originals } from './arrivals.tables';
export { registerUploads } from './uploads';
