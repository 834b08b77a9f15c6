import { z } from 'zod';
import { patchOf, patchReply } from './draft-patch';
import { id } from './ids';
import { keeperFields, patientFields, patientRecord, weightRecord } from './patient';
import { route } from './route';
import { inPractice, onPatient, practiceAll, vets } from './route-params';

/** Patients of a practice, their keepers and weights. */
export const patientRoutes = {
  listPatients: route({
    method: 'GET',
    path: '/api/practices/:practiceId/patients',
    access: { practice: practiceAll },
    params: inPractice,
    query: z.object({ find: z.string().max(120).default('') }),
    reply: z.array(patientRecord),
    summary: 'Patients of a practice by name, number or chip',
  }),
  getPatient: route({
    method: 'GET',
    path: '/api/practices/:practiceId/patients/:patientId',
    access: { practice: practiceAll },
    params: onPatient,
    reply: patientRecord.extend({ keeper: keeperFields.nullable() }),
    summary: 'One patient with weights and keeper',
  }),
  putPatient: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/patients/:patientId',
    access: { practice: vets },
    params: onPatient,
    body: patientFields,
    reply: patientRecord,
    summary: 'Create a patient with a client-made id; repeating it is harmless',
  }),
  patchPatient: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/patients/:patientId',
    access: { practice: vets },
    params: onPatient,
    body: patchOf(patientFields.shape),
    reply: patchReply,
    summary: 'Change fields of a patient',
  }),
  putKeeper: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/patients/:patientId/keeper',
    access: { practice: vets },
    params: onPatient,
    body: keeperFields,
    reply: keeperFields,
    summary: 'Set the keeper; never leaves the practice',
  }),
  putWeight: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/patients/:patientId/weights/:weightId',
    access: { practice: vets },
    params: onPatient.extend({ weightId: id }),
    body: weightRecord.omit({ id: true }),
    reply: weightRecord,
    summary: 'Add a dated weight',
  }),
} as const;
