import { z } from 'zod';

/** A UUID, version 7 where we make it: client-made for everything that can be created without a network. */
export const id = z.uuid();
export type Id = z.infer<typeof id>;

/** Calendar day, `2026-11-25`. */
export const day = z.iso.date();
/** Moment in UTC, ISO 8601. */
export const moment = z.iso.datetime({ offset: true });
/** SHA-256, lower-case hex. */
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/, 'a SHA-256 as 64 lower-case hex digits');
/** Row revision: starts at 1, rises by one with each change. */
export const revision = z.int().min(1);
