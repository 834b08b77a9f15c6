import { z } from 'zod';
import { id } from './ids';
import { learning, sender } from './learning';
import { route } from './route';

/** What readers made of a person's scans: for that person, and for the lead of the readers. */
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
} as const;
