import { z } from 'zod';
import { id, revision } from './ids';

/** Roles and addresses that many routes share. */
export const vets = ['referring-vet', 'sonographer'] as const;
export const practiceAll = ['referring-vet', 'sonographer', 'manager'] as const;
export const readers = ['cardiologist', 'lead'] as const;
export const inPractice = z.object({ practiceId: id });
export const onPatient = z.object({ practiceId: id, patientId: id });
export const onReferral = z.object({ practiceId: id, referralId: id });
export const inGroup = z.object({ groupId: id });
/** What a write answers: the row's new revision. */
export const done = z.object({ revision });
