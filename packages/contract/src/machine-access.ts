import { z } from 'zod';
import { day, id, moment } from './ids';
import { sex, species } from './terms';

/** A key by which a practice's machine sends files. The key itself is shown once, when it is made. */
export const machineKey = z.object({
  id,
  name: z.string(),
  madeBy: z.string(),
  madeAt: moment,
  lastUsedAt: moment.nullable(),
  revokedAt: moment.nullable(),
  revokedBy: z.string().nullable(),
});
export type MachineKey = z.infer<typeof machineKey>;

/** A case that takes files now, with what a file's header can be compared with. */
export const openScan = z.object({
  referralId: id,
  scanId: id,
  number: z.int(),
  patientName: z.string(),
  species,
  sex,
  weightKg: z.number().nullable(),
  weighedOn: day.nullable(),
  scannedOn: day,
});
export type OpenScan = z.infer<typeof openScan>;
