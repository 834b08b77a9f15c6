import { z } from 'zod';
import { me } from './account';
import { deskSettings, verifiedOpinion } from './after-answer';
import { sha256 } from './ids';
import { route } from './route';

/** Signing in and out, who one is, what anybody may ask, and one's own keys. */
export const accountRoutes = {
  health: route({
    method: 'GET',
    path: '/api/health',
    access: 'public',
    reply: z.object({ ok: z.boolean(), version: z.string() }),
    summary: 'Is the server up and its database reached',
  }),
  signIn: route({
    method: 'POST',
    path: '/api/sessions',
    access: 'public',
    body: z.object({ email: z.string().max(200), password: z.string().max(400) }),
    reply: me,
    summary: 'Sign in; sets the session cookie',
  }),
  signOut: route({
    method: 'DELETE',
    path: '/api/sessions/current',
    access: 'member',
    reply: z.object({ ok: z.literal(true) }),
    summary: 'Sign out: the session ends on the server',
  }),
  me: route({
    method: 'GET',
    path: '/api/me',
    access: 'member',
    reply: me,
    summary: 'Who am I, where, with which agreements',
  }),
  live: route({
    method: 'GET',
    path: '/api/live',
    access: 'member',
    reply: null,
    summary: 'Server-sent events: topic and id only',
  }),

  verifyOpinion: route({
    method: 'GET',
    path: '/api/verify/:sha256',
    access: 'public',
    params: z.object({ sha256 }),
    reply: verifiedOpinion,
    summary: 'Was an opinion with this hash signed here, by whom and when; names no patient',
  }),
  getDeskSettings: route({
    method: 'GET',
    path: '/api/me/desk-settings',
    access: 'member',
    reply: deskSettings,
    summary: "A person's own keys",
  }),
  putDeskSettings: route({
    method: 'PUT',
    path: '/api/me/desk-settings',
    access: 'member',
    body: deskSettings,
    reply: deskSettings,
    summary: "Set a person's own keys",
  }),
} as const;
