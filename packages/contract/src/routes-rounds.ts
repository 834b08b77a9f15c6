import { z } from 'zod';
import { patchOf, patchReply } from './draft-patch';
import { day, id, revision, sha256 } from './ids';
import {
  foundPatient,
  leftWork,
  plannedPatient,
  round,
  roundFields,
  roundRow,
  scanRequest,
  visit,
  visitEntry,
  visitFields,
} from './rounds';
import { route } from './route';
import { practiceAll, vets } from './route-params';

const onRound = z.object({ roundId: id });
const onVisit = z.object({ practiceId: id, visitId: id });
const onRequest = z.object({ practiceId: id, requestId: id });
const onLeft = z.object({ practiceId: id, workId: id });

/** A sonographer's day, what practices ask for, and work that was left behind. */
export const roundRoutes = {
  listRounds: route({
    method: 'GET',
    path: '/api/me/rounds',
    access: 'member',
    reply: z.array(roundRow),
    summary: "One's own rounds, newest day first",
  }),
  getRound: route({
    method: 'GET',
    path: '/api/me/rounds/:roundId',
    access: 'member',
    params: onRound,
    reply: round,
    summary: 'One round with its visits and what is done of each',
  }),
  putRound: route({
    method: 'PUT',
    path: '/api/me/rounds/:roundId',
    access: 'member',
    params: onRound,
    body: z.object({ day, title: z.string().max(120) }),
    reply: z.object({ revision }),
    summary: 'Open a round with a client-made id; repeating it is harmless',
  }),
  patchRound: route({
    method: 'PATCH',
    path: '/api/me/rounds/:roundId',
    access: 'member',
    params: onRound,
    body: patchOf(roundFields),
    reply: patchReply,
    summary: 'Change title, note or order of a round',
  }),
  closeRound: route({
    method: 'POST',
    path: '/api/me/rounds/:roundId/close',
    access: 'member',
    params: onRound,
    body: z.object({ open: z.boolean() }),
    reply: z.object({ revision }),
    summary: 'Close a round when nothing is left open in it, or open it again',
  }),
  putVisit: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/visits/:visitId',
    access: { practice: vets },
    params: onVisit,
    body: visitEntry.extend({ requestId: id.nullable() }),
    reply: visit,
    summary: 'Put a patient on a round; repeating it is harmless',
  }),
  patchVisit: route({
    method: 'PATCH',
    path: '/api/practices/:practiceId/visits/:visitId',
    access: { practice: vets },
    params: onVisit,
    body: patchOf(visitFields),
    reply: patchReply,
    summary: 'Change a visit: who it is, its case, its place, why it was not scanned',
  }),
  findServed: route({
    method: 'GET',
    path: '/api/me/patients',
    access: 'member',
    query: z.object({ find: z.string().max(120) }),
    reply: z.array(foundPatient),
    summary: 'Patients by name, number or chip across the practices that one serves',
  }),
  listRequests: route({
    method: 'GET',
    path: '/api/practices/:practiceId/scan-requests',
    access: { practice: practiceAll },
    params: z.object({ practiceId: id }),
    reply: z.array(scanRequest),
    summary: 'Scans that a practice asks for: open ones, and those taken in the last 30 days',
  }),
  putRequest: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/scan-requests/:requestId',
    access: { practice: vets },
    params: onRequest,
    body: z.object({ patientId: id.nullable(), planned: plannedPatient, wantedOn: day.nullable() }),
    reply: scanRequest,
    summary: 'Ask for a scan on the next round',
  }),
  withdrawRequest: route({
    method: 'POST',
    path: '/api/practices/:practiceId/scan-requests/:requestId/withdraw',
    access: { practice: vets },
    params: onRequest,
    body: z.object({}),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Take a request back, while nobody has taken it up',
  }),

  leaveWork: route({
    method: 'PUT',
    path: '/api/left-work/:practiceId/:workId',
    access: 'member',
    params: onLeft,
    body: z.object({ ops: z.array(z.unknown()).max(5000) }),
    reply: z.object({ practiceName: z.string() }),
    summary: 'Hand unsent work to a practice that one has left: writing only',
  }),
  leaveFile: route({
    method: 'PUT',
    path: '/api/left-work/:practiceId/:workId/files/:fileId',
    access: 'member',
    params: onLeft.extend({ fileId: id }),
    query: z.object({ name: z.string().min(1).max(400), sha256 }),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Hand one unsent file over; its bytes are the body',
  }),
  listLeftWork: route({
    method: 'GET',
    path: '/api/practices/:practiceId/left-work',
    access: { practice: practiceAll },
    params: z.object({ practiceId: id }),
    reply: z.array(leftWork),
    summary: 'Work that somebody who left had not sent',
  }),
  leftFile: route({
    method: 'GET',
    path: '/api/practices/:practiceId/left-work/:workId/files/:fileId',
    access: { practice: vets },
    params: onLeft.extend({ fileId: id }),
    reply: null,
    summary: 'One file of it',
  }),
  takeLeftWork: route({
    method: 'POST',
    path: '/api/practices/:practiceId/left-work/:workId/taken',
    access: { practice: vets },
    params: onLeft,
    body: z.object({}),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Say that it was taken over into the records',
  }),
} as const;
