import { z } from 'zod';
import { analysis } from './analysis';
import { interpretation, interpretationInput } from './interpretation';

/** Schemas that are published for others to use, by the name under which the command line prints them. */
export const publishedSchemas = { analysis, referral: interpretationInput, interpretation } as const;

/** JSON schema (draft 2020-12) of a published schema. */
export function jsonSchemaOf(name: keyof typeof publishedSchemas): object {
  return z.toJSONSchema(publishedSchemas[name]);
}
