import { z } from 'zod';
import { id } from './ids';
import { role, urgency } from './terms';

/** What an organisation's own paper begins and ends with. */
export const paperHead = z.object({ lines: z.array(z.string()), footer: z.string() });
export type PaperHead = z.infer<typeof paperHead>;

export const organisation = z.object({
  id,
  kind: z.enum(['practice', 'group']),
  name: z.string(),
  zone: z.string(),
  phone: z.string(),
  roles: z.array(role),
  /** true for invented demo organisations: the page says so. */
  demo: z.boolean(),
  /** Goes along so that a report can be looked at as paper without a network. */
  paper: paperHead,
});
export type Organisation = z.infer<typeof organisation>;

export const openingHours = z.object({ weekday: z.int().min(1).max(7), from: z.string(), to: z.string() });

export const agreement = z.object({
  id,
  practiceId: id,
  groupId: id,
  practiceName: z.string(),
  groupName: z.string(),
  groupPhone: z.string(),
  practicePhone: z.string(),
  /** Where to go when nobody reads: name and number. */
  emergencyContact: z.string(),
  zone: z.string(),
  openingHours: z.array(openingHours),
  targetMinutes: z.record(urgency, z.int().positive()),
});
export type Agreement = z.infer<typeof agreement>;

export const me = z.object({
  member: z.object({ id, name: z.string(), email: z.string() }),
  organisations: z.array(organisation),
  agreements: z.array(agreement),
});
export type Me = z.infer<typeof me>;
