import { z } from 'zod';
import { id } from './ids';
import { likelyPair, mergeEntry, patientList, patientPage } from './patient-work';
import { route } from './route';

const vets = ['referring-vet', 'sonographer'] as const;
const practiceAll = ['referring-vet', 'sonographer', 'manager'] as const;
const inPractice = z.object({ practiceId: id });
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
} as const;
