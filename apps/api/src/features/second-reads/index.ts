export {
  openSecondReadsOf,
  secondReadRow,
  secondReadsStarted,
  toSecondRead,
} from './second-reads.repository';
export { registerSecondReads } from './second-reads.routes';
export { secondReads } from './second-reads.tables';
