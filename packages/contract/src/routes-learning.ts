import { z } from 'zod';
import { id } from './ids';
import { learning, sender } from './learning';
import { route } from './route';
import { onReferral, practiceAll, readers, vets } from './route-params';
import { shelfClip, shelfEntry, teachingState } from './teaching';
import { viewId } from './terms';

const onShelf = z.object({ groupId: id, teachingId: id });

/** What readers made of a person's scans, for that person and the lead of the readers; and the teaching shelf. */
export const learningRoutes = {
  myLearning: route({
    method: 'GET',
    path: '/api/me/learning',
    access: 'member',
    reply: learning,
    summary: 'One’s own views and measurements as readers judged them, after enough answered cases',
  }),
  listSenders: route({
    method: 'GET',
    path: '/api/groups/:groupId/senders',
    access: { group: ['lead'] },
    params: z.object({ groupId: id }),
    reply: z.array(sender),
    summary: 'Who scanned for a group, by name, with the number of answered cases',
  }),
  senderLearning: route({
    method: 'GET',
    path: '/api/groups/:groupId/senders/:memberId/learning',
    access: { group: ['lead'] },
    params: z.object({ groupId: id, memberId: id }),
    reply: learning,
    summary: 'One sender’s views and measurements as this group judged them, after enough answered cases',
  }),

  getTeaching: route({
    method: 'GET',
    path: '/api/cases/:practiceId/:referralId/teaching',
    access: { practice: practiceAll, group: readers },
    params: onReferral,
    reply: teachingState,
    summary: 'Consent to teaching, and what of a case is on the shelf',
  }),
  putTeachingConsent: route({
    method: 'PUT',
    path: '/api/practices/:practiceId/referrals/:referralId/teaching-consent',
    access: { practice: vets },
    params: onReferral,
    body: z.object({ given: z.boolean() }),
    reply: teachingState,
    summary:
      'Give consent to teaching with an answered case, or take it back: then its clips leave the shelf',
  }),
  listShelf: route({
    method: 'GET',
    path: '/api/shelf',
    access: 'member',
    query: z.object({ view: viewId }),
    reply: z.array(shelfClip),
    summary: 'Clips on the shelves of one’s groups and of the groups that read for one’s practices, by view',
  }),
  shelfPack: route({
    method: 'GET',
    path: '/api/shelf/:groupId/:teachingId/pack',
    access: 'member',
    params: onShelf,
    reply: null,
    summary: 'Frame pack of a clip on the shelf, by ranges',
  }),
  putShelfClip: route({
    method: 'PUT',
    path: '/api/groups/:groupId/shelf/:teachingId',
    access: { group: readers },
    params: onShelf,
    body: shelfEntry,
    reply: shelfClip,
    summary: 'Put a clip of a consented case on the shelf, without anything that names it',
  }),
  takeShelfClipOff: route({
    method: 'POST',
    path: '/api/groups/:groupId/shelf/:teachingId/take-off',
    access: { group: readers },
    params: onShelf,
    body: z.object({}),
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Take a clip off the shelf',
  }),
} as const;
