import type { RouteName, Routes } from '@chordae/contract';

/**
 * Method and path of each route the portal calls. Written here once more because the contract's own table carries its
 * schemas, and with them the schema library, into the first page; the type below refuses any entry that differs.
 */
type Endpoints = { readonly [K in RouteName]: readonly [Routes[K]['method'], Routes[K]['path']] };

export const endpoints: Endpoints = {
  health: ['GET', '/api/health'],
  signIn: ['POST', '/api/sessions'],
  signOut: ['DELETE', '/api/sessions/current'],
  me: ['GET', '/api/me'],
  live: ['GET', '/api/live'],
  listPatients: ['GET', '/api/practices/:practiceId/patients'],
  getPatient: ['GET', '/api/practices/:practiceId/patients/:patientId'],
  putPatient: ['PUT', '/api/practices/:practiceId/patients/:patientId'],
  patchPatient: ['PATCH', '/api/practices/:practiceId/patients/:patientId'],
  putKeeper: ['PUT', '/api/practices/:practiceId/patients/:patientId/keeper'],
  putWeight: ['PUT', '/api/practices/:practiceId/patients/:patientId/weights/:weightId'],
  listReferrals: ['GET', '/api/practices/:practiceId/referrals'],
  putReferral: ['PUT', '/api/practices/:practiceId/referrals/:referralId'],
  patchReferral: ['PATCH', '/api/practices/:practiceId/referrals/:referralId'],
  putScan: ['PUT', '/api/practices/:practiceId/referrals/:referralId/scans/:scanId'],
  releaseClip: ['POST', '/api/practices/:practiceId/clips/:clipId/release'],
  patchScan: ['PATCH', '/api/practices/:practiceId/scans/:scanId'],
  previewSending: ['GET', '/api/practices/:practiceId/referrals/:referralId/sending'],
  sendReferral: ['POST', '/api/practices/:practiceId/referrals/:referralId/send'],
  withdrawReferral: ['POST', '/api/practices/:practiceId/referrals/:referralId/withdraw'],
  closeReferral: ['POST', '/api/practices/:practiceId/referrals/:referralId/close'],
  imagesSent: ['POST', '/api/practices/:practiceId/referrals/:referralId/images-sent'],
  readBack: ['POST', '/api/practices/:practiceId/referrals/:referralId/interims/:interimId/read-back'],
  knownOriginals: ['POST', '/api/practices/:practiceId/originals/known'],
  putArrival: ['PUT', '/api/practices/:practiceId/arrivals/:arrivalId'],
  patchClip: ['PATCH', '/api/practices/:practiceId/clips/:clipId'],
  maskClip: ['POST', '/api/practices/:practiceId/clips/:clipId/mask'],
  outbox: ['GET', '/api/practices/:practiceId/outbox'],
  getCase: ['GET', '/api/cases/:practiceId/:referralId'],
  putMeasurement: ['PUT', '/api/cases/:practiceId/:referralId/measurements/:measurementId'],
  putObservation: ['PUT', '/api/cases/:practiceId/:referralId/observations/:observationId'],
  clipPack: ['GET', '/api/cases/:practiceId/:referralId/clips/:clipId/pack'],
  clipFrame: ['GET', '/api/cases/:practiceId/:referralId/clips/:clipId/frames/:frame'],
  opinionPdf: ['GET', '/api/cases/:practiceId/:referralId/opinions/:signedId/pdf'],
  queue: ['GET', '/api/groups/:groupId/queue'],
  takeReferral: ['POST', '/api/cases/:practiceId/:referralId/take'],
  putBack: ['POST', '/api/cases/:practiceId/:referralId/put-back'],
  patchOpinion: ['PATCH', '/api/cases/:practiceId/:referralId/opinion'],
  putFlagAnswer: ['PUT', '/api/cases/:practiceId/:referralId/flag-answers/:answerId'],
  putInterim: ['PUT', '/api/cases/:practiceId/:referralId/interims/:interimId'],
  putWish: ['PUT', '/api/cases/:practiceId/:referralId/wishes/:wishId'],
  signOpinion: ['POST', '/api/cases/:practiceId/:referralId/sign'],
  signAddendum: ['POST', '/api/cases/:practiceId/:referralId/addenda'],
};
