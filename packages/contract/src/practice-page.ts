import { z } from 'zod';
import { agreement } from './account';
import { id } from './ids';
import { practiceRole } from './terms';

/** What stands at the head and foot of a practice's own papers. */
export const letterhead = z.object({
  lines: z.array(z.string().trim().max(80)).max(6, 'lines: a letterhead takes six lines at most'),
  footer: z.string().trim().max(240),
});
export type Letterhead = z.infer<typeof letterhead>;

/** What a manager may write about a practice. */
export const practiceParticulars = z.object({
  name: z.string().trim().min(1, 'name must not be empty').max(120),
  phone: z.string().trim().max(60),
  /** A zone of the IANA list, 'Europe/Dublin': days and opening hours are told in it. */
  zone: z.string().max(60),
  letterhead,
});
export type PracticeParticulars = z.infer<typeof practiceParticulars>;

export const practicePerson = z.object({
  memberId: id,
  name: z.string(),
  email: z.string(),
  roles: z.array(practiceRole),
});
export type PracticePerson = z.infer<typeof practicePerson>;

export const practicePage = z.object({
  id,
  demo: z.boolean(),
  particulars: practiceParticulars,
  people: z.array(practicePerson),
  agreements: z.array(agreement),
});
export type PracticePage = z.infer<typeof practicePage>;
