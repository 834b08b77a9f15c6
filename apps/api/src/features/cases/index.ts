export {
  type FieldRevisions,
  keepers,
  patients,
  referrals,
  scanReferrals,
  scans,
  weights,
} from './cases.tables';
export { differsFromPatient } from './compare-machine';
export { dueTime, isOpen, nextOpening } from './due-time';
export { changedByOthers, mergePatch } from './field-patch';
export { groupOf } from './group-of';
export { lockReferral, moveReferral, setReader, touchReferral } from './move-referral';
export {
  findPatientRow,
  loadKeeper,
  patientFamily,
  patientRoot,
  patientViewOf,
  toPatientRecord,
  weightsOf,
} from './patients.repository';
export { registerPatients } from './patients.routes';
export { findPatientIds } from './patients.search';
export {
  addScan,
  findReferral,
  interpretLater,
  listReferralRows,
  type ReferralRowDb,
  reinterpretOpenCases,
  scansOf,
} from './referrals.repository';
export { registerReferrals } from './referrals.routes';
export { watchEmergencyLater } from './watch-emergency-later';
