import { EMPTY_PLANNED, EMPTY_REPORT, type RouteName, routes } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { announceFile, putFirstFrame, smallJpeg } from '../support/first-frame';
import { type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { makeWorld, type Session, sessionOf, signIn, type World } from '../support/world';

/**
 * Who may call what: route × person × expected, for one sent case of practice A. Every route must have its row; every
 * person not named in it must be refused, and each refusal has its twin in the same row that is let in.
 */
type Actor =
  | 'nobody'
  | 'vetA'
  | 'managerA'
  | 'sonographer'
  | 'cardiologist'
  | 'lead'
  | 'vetB'
  | 'otherCardiologist';
const ALL: readonly Actor[] = [
  'nobody',
  'vetA',
  'managerA',
  'sonographer',
  'cardiologist',
  'lead',
  'vetB',
  'otherCardiologist',
];
const SIGNED_IN = ALL.filter((a) => a !== 'nobody');
const senders: readonly Actor[] = ['vetA', 'sonographer'];
const practice: readonly Actor[] = ['vetA', 'sonographer', 'managerA'];
const readers: readonly Actor[] = ['cardiologist', 'lead'];

const allowed: Record<RouteName, readonly Actor[]> = {
  health: ALL,
  signIn: ALL,
  signOut: SIGNED_IN,
  me: SIGNED_IN,
  live: SIGNED_IN,
  listPatients: practice,
  getPatient: practice,
  putPatient: senders,
  patchPatient: senders,
  putKeeper: senders,
  putWeight: senders,
  listReferrals: practice,
  indexValues: practice,
  putReferral: senders,
  patchReferral: senders,
  patchScan: senders,
  putScan: senders,
  previewSending: senders,
  sendReferral: senders,
  withdrawReferral: senders,
  closeReferral: senders,
  imagesSent: senders,
  readBack: senders,
  knownOriginals: senders,
  putArrival: senders,
  putFirstFrame: senders,
  firstFrame: [...practice, ...readers],
  patchClip: senders,
  maskClip: senders,
  releaseClip: senders,
  outbox: practice,
  getCase: [...practice, ...readers],
  earlierScans: [...practice, ...readers],
  putMeasurement: [...senders, ...readers],
  putObservation: [...senders, ...readers],
  clipPack: [...practice, ...readers],
  clipFrame: [...practice, ...readers],
  clipAssessment: [...practice, ...readers],
  opinionPdf: [...practice, ...readers],
  queue: readers,
  takeReferral: readers,
  putBack: readers,
  patchOpinion: readers,
  putFlagAnswer: readers,
  putInterim: readers,
  putWish: readers,
  signOpinion: readers,
  signAddendum: readers,
  verifyOpinion: ALL,
  getDeskSettings: SIGNED_IN,
  putDeskSettings: SIGNED_IN,
  releaseKeeperPage: senders,
  putOutcome: senders,
  listRechecks: practice,
  putClipStatement: [...senders, ...readers],
  putMessage: [...senders, ...readers],
  keeperPagePdf: [...practice, ...readers],
  previewPdf: readers,
  handOver: readers,
  takeOver: readers,
  startSecondRead: readers,
  patchSecondRead: readers,
  signSecondRead: readers,
  groupReaders: readers,
  getGroupSettings: readers,
  putGroupSettings: ['lead'],
  listReadPairs: ['lead'],
  listMarksJudged: ['lead'],
  listPhrases: readers,
  putPhrase: readers,
  listMachineKeys: ['vetA', 'managerA'],
  putMachineKey: ['vetA', 'managerA'],
  revokeMachineKey: ['vetA', 'managerA'],
  machineSelf: SIGNED_IN,
  openScans: senders,
  listRounds: SIGNED_IN,
  getRound: SIGNED_IN,
  putRound: ['vetA', 'vetB', 'sonographer'],
  patchRound: SIGNED_IN,
  closeRound: SIGNED_IN,
  putVisit: senders,
  patchVisit: senders,
  findServed: SIGNED_IN,
  listRequests: practice,
  putRequest: senders,
  withdrawRequest: senders,
  leaveWork: SIGNED_IN,
  leaveFile: SIGNED_IN,
  listLeftWork: practice,
  leftFile: senders,
  takeLeftWork: senders,
  patchReport: senders,
  previewReport: senders,
  signReport: senders,
  signReportAddendum: senders,
  fileReport: ['vetA', 'managerA'],
  putReportMessage: practice,
  reportPdf: [...practice, ...readers],
  listPatientRows: practice,
  getPatientPage: practice,
  listLikelyPairs: practice,
  mergePatients: senders,
  undoMerge: senders,
  myAccount: SIGNED_IN,
  myAccountCsv: SIGNED_IN,
  myAccountPdf: SIGNED_IN,
  practiceAccount: ['managerA'],
  practiceAccountCsv: ['managerA'],
  practiceAccountPdf: ['managerA'],
  getAccountPrices: senders,
  putAccountPrices: senders,
  getPracticePage: practice,
  putPracticeParticulars: ['managerA'],
  endMembership: ['managerA'],
  myLearning: SIGNED_IN,
  listSenders: ['lead'],
  senderLearning: ['lead'],
  getTeaching: [...practice, ...readers],
  putTeachingConsent: senders,
  listShelf: SIGNED_IN,
  shelfPack: SIGNED_IN,
  putShelfClip: readers,
  takeShelfClipOff: readers,
};

let t: TestApp;
let world: World;
let theCase: SentCase;
let onePicture: string;
/** A file that has not arrived yet, with its first frame. */
const onItsWay = uuidv7();
const sessions = new Map<Actor, Session>();

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  for (const actor of ALL)
    sessions.set(
      actor,
      actor === 'nobody' ? sessionOf(t.app, '') : await signIn(t.app, world.people[actor].email),
    );
  theCase = await sentCase(t, sessions.get('vetA') as Session, world, world.practiceA);
  onePicture = await smallJpeg();
  await announceFile(sessions.get('vetA') as Session, theCase, onItsWay, 1000);
  await putFirstFrame(sessions.get('vetA') as Session, theCase, onItsWay);
});
afterAll(async () => t.close());

const fresh = () => uuidv7();
const particulars = {
  name: 'Test Practice Ash',
  phone: '+353 1 000 0001',
  zone: 'Europe/Dublin',
  letterhead: { lines: [], footer: '' },
};
const bodies: Partial<Record<RouteName, () => unknown>> = {
  signIn: () => ({ email: 'nobody@test.example', password: 'x' }),
  putPatient: () => ({
    name: 'Twin',
    species: 'cat',
    breedCode: null,
    breedText: '',
    sex: 'male',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
  }),
  patchPatient: () => ({ base: 1, fields: { chip: '1' } }),
  putKeeper: () => ({ name: 'K', phone: '', email: '' }),
  putWeight: () => ({ weightKg: 7.2, asTyped: '7.2 kg', guessed: false, weighedOn: '2026-11-25' }),
  putReferral: () => ({
    patientId: theCase.patientId,
    groupId: world.group,
    plan: 'collapse',
    scanId: fresh(),
    scannedOn: '2026-11-25',
  }),
  patchReferral: () => ({ base: 1, fields: { history: 'x' } }),
  patchScan: () => ({ base: 1, fields: { machine: 'x' } }),
  putScan: () => ({ scannedOn: '2026-11-25' }),
  sendReferral: () => ({ base: 99, identityReason: null }),
  withdrawReferral: () => ({ base: 99, reason: 'x' }),
  closeReferral: () => ({ base: 99 }),
  imagesSent: () => ({ base: 99, wishId: fresh(), note: '' }),
  readBack: () => ({}),
  knownOriginals: () => ({ sha256s: [] }),
  putArrival: () => ({
    referralId: theCase.referralId,
    scanId: theCase.scanId,
    fileName: 'a.dcm',
    sizeBytes: 4,
    sha256: null,
  }),
  putFirstFrame: () => ({ view: null, decision: null, jpegBase64: onePicture }),
  patchClip: () => ({ view: 'rps-long-4ch' }),
  maskClip: () => ({ kind: 'no-name-confirmed' }),
  releaseClip: () => ({ reason: 'x' }),
  putMeasurement: () => ({
    code: 'lvids',
    value: 20,
    unit: 'mm',
    asTyped: '20',
    view: null,
    method: null,
    beat: null,
    clipId: null,
    frame: null,
    source: 'typed',
    geometry: null,
    supersedesId: null,
  }),
  putObservation: () => ({ code: 'fever', value: 'no', supersedesId: null }),
  takeReferral: () => ({ base: 99 }),
  putBack: () => ({ base: 99, reason: 'x' }),
  patchOpinion: () => ({ base: 1, fields: { conclusion: 'x' } }),
  putFlagAnswer: () => ({ flagKey: 'x', answer: 'kept', reason: '' }),
  putInterim: () => ({ text: 'x' }),
  putWish: () => ({ base: 99, views: [{ view: 'lap-4ch', how: '' }], text: '' }),
  signOpinion: () => ({ base: 99, draftRevision: 1, inputHash: null, signedId: fresh(), password: 'x' }),
  putDeskSettings: () => ({ keys: {} }),
  releaseKeeperPage: () => ({}),
  putOutcome: () => ({ answer: 'not-known', words: '' }),
  putClipStatement: () => ({ kind: 'marks', endDiastole: [0], endSystole: [] }),
  putMessage: () => ({ text: 'x' }),
  handOver: () => ({ base: 99, toMemberId: world.people.cardiologist.id, reason: 'x' }),
  takeOver: () => ({ base: 99, reason: 'x' }),
  startSecondRead: () => ({}),
  patchSecondRead: () => ({ base: 1, fields: { stage: 'x' } }),
  signSecondRead: () => ({ base: 1, password: 'x' }),
  putGroupSettings: () => ({ secondReadPercent: 0, marksOff: [] }),
  putPhrase: () => ({ place: 'conclusion', text: 'x', retired: false }),
  putMachineKey: () => ({ name: 'x' }),
  revokeMachineKey: () => ({}),
  putRound: () => ({ day: '2026-11-26', title: '' }),
  patchRound: () => ({ base: 1, fields: { note: 'x' } }),
  closeRound: () => ({ open: false }),
  putVisit: () => ({
    roundId: fresh(),
    requestId: null,
    planned: EMPTY_PLANNED,
    position: 1,
    patientId: null,
    referralId: null,
    notScanned: null,
  }),
  patchVisit: () => ({ base: 1, fields: { notScanned: 'x' } }),
  putRequest: () => ({ patientId: null, planned: { ...EMPTY_PLANNED, name: 'Twin' }, wantedOn: null }),
  withdrawRequest: () => ({}),
  leaveWork: () => ({ ops: [] }),
  takeLeftWork: () => ({}),
  signAddendum: () => ({ signedId: fresh(), text: 'x', password: 'x' }),
  patchReport: () => ({ base: 1, draftId: fresh(), fields: { conclusion: 'x' } }),
  signReport: () => ({
    base: 99,
    draftRevision: 1,
    fields: EMPTY_REPORT,
    inputHash: null,
    signedId: fresh(),
    deviceSignedAt: null,
    password: 'x',
  }),
  signReportAddendum: () => ({ signedId: fresh(), text: 'x', deviceSignedAt: null, password: 'x' }),
  fileReport: () => ({ base: 99 }),
  putReportMessage: () => ({ text: 'x' }),
  mergePatients: () => ({ fromId: theCase.patientId, intoId: theCase.patientId, reason: 'x' }),
  undoMerge: () => ({}),
  putAccountPrices: () => ({ prices: null }),
  putPracticeParticulars: () => ({ seen: particulars, wanted: particulars }),
  endMembership: () => ({}),
  putTeachingConsent: () => ({ given: true }),
  putShelfClip: () => ({
    practiceId: theCase.practiceId,
    referralId: theCase.referralId,
    clipId: theCase.clipId,
    view: 'rps-long-4ch',
    kind: 'usual',
    title: 'x',
    words: '',
    nothingNamed: true,
  }),
  takeShelfClipOff: () => ({}),
};

/** Ids that exist where reading needs them, new ones where something is made. */
function urlOf(name: RouteName): string {
  const made: Partial<Record<RouteName, string>> = {
    putPatient: 'patientId',
    putReferral: 'referralId',
    putArrival: 'arrivalId',
  };
  const values: Record<string, string> = {
    practiceId: world.practiceA,
    groupId: world.group,
    patientId: theCase.patientId,
    referralId: theCase.referralId,
    scanId: name === 'putScan' ? fresh() : theCase.scanId,
    clipId: theCase.clipId,
    frame: '0',
    weightId: fresh(),
    measurementId: fresh(),
    observationId: fresh(),
    interimId: fresh(),
    wishId: fresh(),
    answerId: fresh(),
    signedId: fresh(),
    statementId: fresh(),
    messageId: fresh(),
    secondId: fresh(),
    phraseId: fresh(),
    keyId: fresh(),
    roundId: fresh(),
    visitId: fresh(),
    requestId: fresh(),
    workId: fresh(),
    fileId: fresh(),
    teachingId: fresh(),
    sha256: '0'.repeat(64),
    arrivalId: name === 'firstFrame' || name === 'putFirstFrame' ? onItsWay : fresh(),
    mergeId: fresh(),
    // The only manager: refused in words, which tells it from a refusal of the person.
    memberId: name === 'senderLearning' ? world.people.vetA.id : world.people.managerA.id,
  };
  const own = made[name];
  if (own) values[own] = fresh();
  const queries: Partial<Record<RouteName, string>> = {
    indexValues: '?species=dog&index=lviddn',
    findServed: '?find=twin',
    listShelf: '?view=rps-long-4ch',
    leaveFile: `?name=a.dcm&sha256=${'0'.repeat(64)}`,
  };
  const query = queries[name] ?? (/account(Csv|Pdf)?$/i.test(name) ? '?month=2026-11' : '');
  return routes[name].path.replace(/:(\w+)/g, (_all, key: string) => values[key] ?? key) + query;
}

/** These find nothing in this case even for whom they are open: told apart from a refusal by what the allowed get. */
const EMPTY_FOR_ALL: ReadonlySet<RouteName> = new Set([
  'readBack',
  'opinionPdf',
  'clipAssessment',
  'releaseKeeperPage',
  'keeperPagePdf',
  'previewPdf',
  'reportPdf',
  'patchSecondRead',
  'signSecondRead',
  // One's own rounds, visits and requests: which are whose is tried in rounds.test.ts.
  // A person is no machine; a key that does not exist cannot be revoked.
  'machineSelf',
  'revokeMachineKey',
  'getRound',
  'patchRound',
  'closeRound',
  'putVisit',
  'patchVisit',
  'withdrawRequest',
  'leaveWork',
  'leaveFile',
  'leftFile',
  'takeLeftWork',
  'undoMerge',
  'shelfPack',
  'takeShelfClipOff',
]);
/** Refused for another reason than the person: a wrong password. */
const PASSWORD_ASKED: ReadonlySet<RouteName> = new Set([
  'signOpinion',
  'signAddendum',
  'signReport',
  'signReportAddendum',
  'signIn',
]);
/** Streams stay open, and signing out ends the session: both are tried apart. */
const APART: ReadonlySet<RouteName> = new Set(['live', 'signOut']);

const names = Object.keys(routes) as RouteName[];

describe('access', () => {
  it('has a row for every route', () => {
    expect(Object.keys(allowed).sort()).toEqual([...names].sort());
  });

  for (const name of names.filter((n) => !APART.has(n))) {
    for (const actor of ALL) {
      const may = allowed[name].includes(actor);
      it(`${may ? 'lets' : 'refuses'} ${actor} ${may ? 'in at' : 'at'} ${name}`, async () => {
        const session = sessions.get(actor) as Session;
        const body = bodies[name]?.();
        const reply = await session.call(routes[name].method, urlOf(name), body);
        if (!may) {
          const member = ['vetA', 'sonographer', 'managerA', 'cardiologist', 'lead'].includes(actor);
          expect([401, 403, 404]).toContain(reply.status);
          if (actor === 'nobody') expect(reply.status).toBe(401);
          // Who belongs to neither side learns not even that it exists.
          else if (!member) expect(reply.status).toBe(404);
          return;
        }
        if (PASSWORD_ASKED.has(name))
          expect((reply.body as { code: string }).code).toMatch(
            /PASSWORD_WRONG|SIGN_IN_FAILED|STATE_CHANGED/,
          );
        else if (EMPTY_FOR_ALL.has(name)) expect(reply.status).toBe(404);
        else expect([401, 403, 404, 400, 500]).not.toContain(reply.status);
      });
    }
  }

  it('ends a session on the server when its member signs out', async () => {
    const session = await signIn(t.app, world.people.vetA.email);
    expect((await session.get('/api/me')).status).toBe(200);
    expect((await session.call('DELETE', '/api/sessions/current')).status).toBe(200);
    expect((await session.get('/api/me')).status).toBe(401);
    expect((await session.get('/api/live')).status).toBe(401);
  });
});
