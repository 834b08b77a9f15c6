import { z } from 'zod';
import { day, id, moment, revision } from './ids';
import { sex, species } from './terms';

/** Heaviest weight taken, in kg. A draught horse stays below 1,500 kg (common practice): above this the unit is wrong. */
export const MAX_WEIGHT_KG = 1500;
/** Lightest weight taken, in kg. */
export const MIN_WEIGHT_KG = 0.05;

export const weightRecord = z.object({
  id,
  weightKg: z
    .number()
    .min(MIN_WEIGHT_KG, `weightKg must be at least ${MIN_WEIGHT_KG} kg: check the unit`)
    .max(MAX_WEIGHT_KG, `weightKg must be at most ${MAX_WEIGHT_KG} kg: check the unit`),
  /** As the person typed it, with its unit: '12,4 lb'. */
  asTyped: z.string().max(40),
  guessed: z.boolean(),
  weighedOn: day,
});
export type WeightRecord = z.infer<typeof weightRecord>;

/** The patient as the reading group may see it: no keeper. */
export const patientFields = z.object({
  name: z.string().trim().min(1, 'name must not be empty').max(120),
  species,
  /** A code of shared/breeds.json, or null with `breedText` free. */
  breedCode: z.string().max(60).nullable(),
  breedText: z.string().max(120),
  sex,
  neutered: z.boolean().nullable(),
  birthDate: day.nullable(),
  birthPrecision: z.enum(['day', 'month', 'year', 'guessed']).nullable(),
  chip: z.string().max(30).nullable(),
});
export type PatientFields = z.infer<typeof patientFields>;

export const patientRecord = patientFields.extend({
  id,
  practiceId: id,
  number: z.int(),
  revision,
  createdAt: moment,
  weights: z.array(weightRecord),
});
export type PatientRecord = z.infer<typeof patientRecord>;

export const keeperFields = z.object({
  name: z.string().max(160),
  phone: z.string().max(60),
  email: z.union([z.email(), z.literal('')]),
});
export type KeeperFields = z.infer<typeof keeperFields>;
