import { z } from 'zod';
import { id } from './ids';
import { accountPrices, month, monthAccount } from './month-account';
import { likelyPair, mergeEntry, patientList, patientPage } from './patient-work';
import { practicePage, practiceParticulars } from './practice-page';
import { route } from './route';
import { inPractice, practiceAll, vets } from './route-params';

const ofMonth = z.object({ month });
/** `bom=1`: with the mark by which some spreadsheets know UTF-8. */
const asCsv = ofMonth.extend({ bom: z.enum(['1']).optional() });
const onMerge = z.object({ practiceId: id, mergeId: id });

/** A practice's patients, people and papers. */
export const practiceRoutes = {
  listPatientRows: route({
    method: 'GET',
    path: '/api/practices/:practiceId/patient-rows',
    access: { practice: practiceAll },
    params: inPractice,
    query: z.object({ find: z.string().max(120).default('') }),
    reply: patientList,
    summary: 'Patients by name, number, chip, keeper or telephone, as the list shows them',
  }),
  getPatientPage: route({
    method: 'GET',
    path: '/api/practices/:practiceId/patients/:patientId/page',
    access: { practice: practiceAll },
    params: inPractice.extend({ patientId: id }),
    reply: patientPage,
    summary: 'One patient with keeper, merges and all that happened to it',
  }),
  listLikelyPairs: route({
    method: 'GET',
    path: '/api/practices/:practiceId/likely-pairs',
    access: { practice: practiceAll },
    params: inPractice,
    reply: z.array(likelyPair),
    summary: 'Patients that may be the same animal, with why',
  }),
  mergePatients: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/patient-merges/:mergeId',
    access: { practice: vets },
    params: onMerge,
    body: mergeEntry,
    reply: z.object({ patientId: id }),
    summary: 'Merge a patient into another; nothing is rewritten, and it can be undone',
  }),
  undoMerge: route({
    method: 'POST',
    path: '/api/practices/:practiceId/patient-merges/:mergeId/undo',
    access: { practice: vets },
    params: onMerge,
    body: z.object({}),
    reply: z.object({ patientId: id }),
    summary: 'Undo a merge: both patients stand again, each with what was made under it',
  }),

  myAccount: route({
    method: 'GET',
    path: '/api/me/account',
    access: 'member',
    query: ofMonth,
    reply: monthAccount,
    summary: 'Scans, scan reports, referrals and rescans of a month, at each of one’s practices',
  }),
  myAccountCsv: route({
    method: 'GET',
    path: '/api/me/account/csv',
    access: 'member',
    query: asCsv,
    reply: null,
    summary: 'One’s own account of a month as CSV, a line each',
  }),
  myAccountPdf: route({
    method: 'GET',
    path: '/api/me/account/pdf',
    access: 'member',
    query: ofMonth,
    reply: null,
    summary: 'One’s own account of a month as PDF',
  }),
  practiceAccount: route({
    method: 'GET',
    path: '/api/practices/:practiceId/account',
    access: { practice: ['manager'] },
    params: inPractice,
    query: ofMonth,
    reply: monthAccount,
    summary: 'A practice’s month: what each person scanned, reported and sent',
  }),
  practiceAccountCsv: route({
    method: 'GET',
    path: '/api/practices/:practiceId/account/csv',
    access: { practice: ['manager'] },
    params: inPractice,
    query: asCsv,
    reply: null,
    summary: 'A practice’s account of a month as CSV',
  }),
  practiceAccountPdf: route({
    method: 'GET',
    path: '/api/practices/:practiceId/account/pdf',
    access: { practice: ['manager'] },
    params: inPractice,
    query: ofMonth,
    reply: null,
    summary: 'A practice’s account of a month as PDF',
  }),
  getAccountPrices: route({
    method: 'GET',
    path: '/api/practices/:practiceId/account-prices',
    access: { practice: vets },
    params: inPractice,
    reply: z.object({ prices: accountPrices.nullable() }),
    summary: 'One’s own prices at a practice; null where none are kept',
  }),
  putAccountPrices: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/account-prices',
    access: { practice: vets },
    params: inPractice,
    body: z.object({ prices: accountPrices.nullable() }),
    reply: z.object({ prices: accountPrices.nullable() }),
    summary: 'Set one’s own prices at a practice; null: no amounts are shown',
  }),

  getPracticePage: route({
    method: 'GET',
    path: '/api/practices/:practiceId/particulars',
    access: { practice: practiceAll },
    params: inPractice,
    reply: practicePage,
    summary: 'Name, zone, letterhead, people and agreements of a practice',
  }),
  putPracticeParticulars: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/particulars',
    access: { practice: ['manager'] },
    params: inPractice,
    body: z.object({ seen: practiceParticulars, wanted: practiceParticulars }),
    reply: practicePage,
    summary: 'Change name, telephone, zone or letterhead, provided that what was seen still stands',
  }),
  endMembership: route({
    method: 'POST',
    path: '/api/practices/:practiceId/people/:memberId/end',
    access: { practice: ['manager'] },
    params: inPractice.extend({ memberId: id }),
    body: z.object({}),
    reply: z.object({ ended: z.int() }),
    summary: 'End a person’s membership of a practice',
  }),
} as const;
