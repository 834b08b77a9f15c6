import { z } from 'zod';
import { day, id } from './ids';
import { scanPlanId } from './terms';

/** A calendar month, '2026-11'. */
export const month = z
  .string()
  .regex(/^\d{4}-(0[1-9]|1[0-2])$/, 'month: write a year and a month, such as 2026-11');

/** What is accounted for. A rescan is any scan of a case after its first. */
export const accountKind = z.enum(['scan', 'rescan', 'report', 'referral']);
export type AccountKind = z.infer<typeof accountKind>;

/** Currencies whose amounts have two decimals (ISO 4217, from memory). A plain list: pages show it without the schemas. */
export const currencies = [
  'EUR',
  'GBP',
  'USD',
  'CHF',
  'SEK',
  'NOK',
  'DKK',
  'PLN',
  'CZK',
  'CAD',
  'AUD',
  'NZD',
] as const;
export const currency = z.enum(currencies);
export type Currency = z.infer<typeof currency>;

/** Prices of one person at one practice, in hundredths of the currency; a kind without one has no amount. */
export const accountPrices = z.object({
  currency,
  hundredths: z.partialRecord(
    accountKind,
    z.int().min(0).max(100_000_00, 'a price of more than 100,000 is not taken: check the decimal point'),
  ),
});
export type AccountPrices = z.infer<typeof accountPrices>;

export const accountLine = z.object({
  /** Unique in the account: the kind with the id of what is counted. */
  key: z.string(),
  practiceId: id,
  kind: accountKind,
  /** Day of the scan; for a report and a referral that of the first scan of its case: it decides the month. */
  day,
  /** Day on which it was entered, signed or sent, in the practice's zone. */
  doneOn: day,
  referralId: id,
  caseNumber: z.int(),
  patientName: z.string(),
  patientNumber: z.int(),
  plan: scanPlanId,
  memberId: id,
  memberName: z.string(),
  /** false: the case was withdrawn; listed, and counted for nothing. */
  counted: z.boolean(),
  /** Entered, signed or sent after the month had ended: an account read before did not have it. */
  afterMonth: z.boolean(),
  /** null where there is no price for this kind, or it is not counted. */
  amountHundredths: z.int().nullable(),
});
export type AccountLine = z.infer<typeof accountLine>;

const counts = z.object({ scan: z.int(), rescan: z.int(), report: z.int(), referral: z.int() });
/** One person's month at one practice. */
export const accountPart = z.object({
  practiceId: id,
  practiceName: z.string(),
  zone: z.string(),
  memberId: id,
  memberName: z.string(),
  counts,
  prices: accountPrices.nullable(),
  /** null without prices. */
  totalHundredths: z.int().nullable(),
  lines: z.array(accountLine),
});
export type AccountPart = z.infer<typeof accountPart>;

export const monthAccount = z.object({ month, demo: z.boolean(), parts: z.array(accountPart) });
export type MonthAccount = z.infer<typeof monthAccount>;
