/** What a limit must say of itself before it may be used. Checked when the data are generated, never in a browser. */
import { sex, sourceStatus, species } from '@chordae/contract';
import { z } from 'zod';

const boundIs = z.enum(['last-normal', 'first-abnormal']);
const number = z.number();

const form = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('fixed'),
    lower: number.nullable(),
    upper: number.nullable(),
    upperIs: boundIs,
    lowerIs: boundIs,
  }),
  z.strictObject({
    kind: z.literal('power'),
    lowerA: number.positive(),
    meanA: number.positive(),
    upperA: number.positive(),
    exponent: number,
    upperIs: boundIs,
    lowerIs: boundIs,
  }),
  z.strictObject({ kind: z.literal('linear'), slope: number, intercept: number, upperIs: boundIs }),
]);

const grade = z.strictObject({
  code: z.string().min(1),
  from: number.optional(),
  above: number.optional(),
  upTo: number.optional(),
});

export const limitSchema = z
  .strictObject({
    id: z.string().regex(/^[a-z0-9-]+$/),
    species,
    index: z.string().min(1),
    form,
    role: z.enum(['grade', 'stage', 'comparison', 'reference', 'not-available']),
    scope: z.enum(['any', 'general-dog', 'general-cat', 'breed']),
    breeds: z.array(z.string()).min(1).optional(),
    bySex: z.partialRecord(sex, number).optional(),
    maxKgBelow: number.positive().optional(),
    chosenBecause: z.enum(['breed', 'group', 'weight', 'fixed']),
    scale: z.string().optional(),
    grades: z.array(grade).min(2).optional(),
    gradeFrom: number.optional(),
    ticks: z.array(z.strictObject({ at: number, code: z.string() })).optional(),
    population: z.string().min(4),
    citation: z.string().min(11),
    doi: z.string().startsWith('10.').nullable(),
    status: sourceStatus,
    note: z.string(),
  })
  .refine((l) => (l.scope === 'breed') === (l.breeds !== undefined), 'a breed limit names its breeds')
  .refine((l) => l.grades === undefined || l.scale !== undefined, 'grades carry the name of their scale')
  .refine((l) => saysSomething(l) || l.role === 'not-available', 'a limit without numbers is not available');

function saysSomething(l: {
  form: z.infer<typeof form>;
  ticks?: unknown[] | undefined;
  grades?: unknown[] | undefined;
  bySex?: object | undefined;
  role: string;
}): boolean {
  const open = l.form.kind === 'fixed' && l.form.lower === null && l.form.upper === null;
  return !open || (l.ticks ?? l.grades ?? l.bySex) !== undefined || l.role === 'reference';
}

export const repeatabilitySchema = z.strictObject({
  index: z.string(),
  species,
  cvPercent: number.positive(),
  betweenCvPercent: number.positive().optional(),
  citation: z.string().min(11),
  doi: z.string().nullable(),
  status: sourceStatus,
});
