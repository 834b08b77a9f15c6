import type { z } from 'zod';
import type { Role } from './terms';

export type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';

/**
 * Who may call: `public`; any signed-in `member`; or roles in the practice or the reading group that the path names.
 * `case` paths name a practice and a referral: roles of the practice, or of the group the referral was sent to.
 */
export type Access = 'public' | 'member' | { practice?: readonly Role[]; group?: readonly Role[] };

export interface RouteShape {
  readonly method: Method;
  readonly path: string;
  readonly access: Access;
  readonly params?: z.ZodType;
  readonly query?: z.ZodType;
  readonly body?: z.ZodType;
  /** null: the reply is not JSON (bytes, stream) or empty. */
  readonly reply: z.ZodType | null;
  /** A practice's machine may call it with its key; every other route refuses keys. */
  readonly machine?: true;
  readonly summary: string;
}

export function route<const R extends RouteShape>(shape: R): R {
  return shape;
}
