import type { AccountPart, MonthAccount } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readPdf } from '../support/pdf-text';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import {
  makeWorld,
  type OpenedReferral,
  openDraft,
  type Session,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

/** A month's account: what is counted, for whom, where, and as file and paper. */
let t: TestApp;
let world: World;
let sonographer: Session;
let vet: Session;
let manager: Session;
let lead: Session;

beforeAll(async () => {
  t = await startTestApp({ CHORDAE_SESSION_HOURS: '720' });
  world = await makeWorld(t.admin);
  const as = (person: keyof World['people']) => signIn(t.app, world.people[person].email);
  [sonographer, vet, manager, lead] = await Promise.all([
    as('sonographer'),
    as('vetA'),
    as('managerA'),
    as('lead'),
  ]);
  // A day ahead of Dublin: one moment lies in two months.
  await t.admin`update practices set zone = 'Pacific/Auckland' where id = ${world.practiceB}`;
});
afterAll(async () => t.close());

async function must<T>(reply: Promise<{ status: number; raw: string; body: T }>): Promise<T> {
  const { status, raw, body } = await reply;
  expect(status, raw).toBe(200);
  return body;
}
const mine = (month: string, who = sonographer) =>
  must<MonthAccount>(who.get(`/api/me/account?month=${month}`));
const part = (account: MonthAccount, practiceId: string) =>
  account.parts.find((p) => p.practiceId === practiceId) as AccountPart;
const draft = (practiceId: string, name: string, scannedOn: string, who = sonographer) =>
  openDraft(who, world, practiceId, { name, scannedOn });
async function send(d: OpenedReferral, who = sonographer): Promise<void> {
  await typeMeasurement(who, d, 'lvidd', 30);
  await must(who.patch(d.base, { base: 1, fields: { question: 'How far?' } }));
  await must(who.post(`${d.base}/send`, { base: 2, identityReason: null }));
}
async function sign(d: OpenedReferral, signedAt: string): Promise<void> {
  await t.admin`insert into signed_reports (practice_id, id, referral_id, kind, fields, canonical_text, sha256, signer_id, signer_name, signed_at, inputs, engine_version)
    values (${d.practiceId}, ${uuidv7()}, ${d.referralId}, 'report', '{}', 'x', 'x', ${world.people.sonographer.id}, 'Sonographer of both', ${signedAt}, '{}', 'x')`;
}
const said = (p: AccountPart) => p.lines.map((l) => [l.patientName, l.kind, l.day, l.counted, l.afterMonth]);

describe('a month’s account', () => {
  it('counts scans, rescans, reports and referrals by the day of the scan, and nothing that was withdrawn', async () => {
    const sent = await draft(world.practiceA, 'Sent', '2026-11-02');
    await send(sent);
    for (const scannedOn of ['2026-11-20', '2026-12-02'])
      await must(sonographer.put(`${sent.base}/scans/${uuidv7()}`, { scannedOn }));
    const reported = await draft(world.practiceA, 'Reported', '2026-11-03');
    await sign(reported, '2026-12-01T09:00:00Z');
    await sign({ ...(await draft(world.practiceA, 'Earlier', '2026-10-31')) }, '2026-11-01T09:00:00Z');
    const taken = await draft(world.practiceA, 'Taken back', '2026-11-04');
    await must(sonographer.post(`${taken.base}/withdraw`, { base: 1, reason: 'Opened by mistake.' }));
    const kept = await draft(world.practiceA, 'Reported and taken back', '2026-11-05');
    await send(kept);
    await sign(kept, '2026-11-05T15:00:00Z');
    await must(sonographer.post(`${kept.base}/withdraw`, { base: 3, reason: 'No longer needed.' }));
    await draft(world.practiceA, 'Of the vet', '2026-11-06', vet);

    const november = part(await mine('2026-11'), world.practiceA);
    expect(said(november)).toEqual([
      ['Sent', 'scan', '2026-11-02', true, false],
      ['Sent', 'referral', '2026-11-02', true, false],
      ['Reported', 'scan', '2026-11-03', true, false],
      ['Reported', 'report', '2026-11-03', true, true],
      ['Taken back', 'scan', '2026-11-04', false, false],
      ['Reported and taken back', 'scan', '2026-11-05', true, false],
      ['Reported and taken back', 'report', '2026-11-05', true, false],
      ['Reported and taken back', 'referral', '2026-11-05', false, false],
      ['Sent', 'rescan', '2026-11-20', true, false],
    ]);
    expect(november.counts).toEqual({ scan: 3, rescan: 1, report: 2, referral: 1 });
    // Entered on 25 November for a day in October; its report belongs to October as well.
    const october = part(await mine('2026-10'), world.practiceA);
    expect(said(october)).toEqual([
      ['Earlier', 'scan', '2026-10-31', true, true],
      ['Earlier', 'report', '2026-10-31', true, true],
    ]);
    // A rescan of the next month is one of that month: its case began before.
    expect(said(part(await mine('2026-12'), world.practiceA))).toEqual([
      ['Sent', 'rescan', '2026-12-02', true, false],
    ]);
    expect(part(await mine('2027-01'), world.practiceA).lines).toEqual([]);
  });

  it('takes each practice’s own calendar for what came after the month', async () => {
    // 12:00 UTC on 30 November is 01:00 on 1 December in Auckland.
    t.clock.set(new Date('2026-11-30T12:00:00Z'));
    const [a, b] = [
      await draft(world.practiceA, 'Dublin', '2026-11-30'),
      await draft(world.practiceB, 'Auckland', '2026-11-30'),
    ];
    await sign(a, '2026-11-30T12:00:00Z');
    await sign(b, '2026-11-30T12:00:00Z');
    const account = await mine('2026-11');
    const late = (id: string, name: string) =>
      part(account, id)
        .lines.filter((l) => l.patientName === name)
        .map((l) => [l.kind, l.doneOn, l.afterMonth]);
    expect(late(world.practiceA, 'Dublin')).toEqual([
      ['scan', '2026-11-30', false],
      ['report', '2026-11-30', false],
    ]);
    expect(late(world.practiceB, 'Auckland')).toEqual([
      ['scan', '2026-12-01', true],
      ['report', '2026-12-01', true],
    ]);
    t.clock.set(new Date('2026-11-25T09:30:00Z'));
  });

  it('shows each practice’s manager that practice alone, by person, and other people nothing', async () => {
    const url = `/api/practices/${world.practiceA}/account?month=2026-11`;
    const account = await must<MonthAccount>(manager.get(url));
    expect(new Set(account.parts.map((p) => p.practiceId))).toEqual(new Set([world.practiceA]));
    expect(account.parts.map((p) => p.memberName).sort((x, y) => x.localeCompare(y))).toEqual([
      'Sonographer of both',
      'Vet of Ash',
    ]);
    expect(part(await mine('2026-11', vet), world.practiceA).lines.map((l) => l.patientName)).toEqual([
      'Of the vet',
    ]);
    expect((await mine('2026-11', lead)).parts).toEqual([]);
    expect((await mine('2026-11', manager)).parts).toEqual([]);
    for (const what of ['account', 'account/csv', 'account/pdf'])
      expect((await lead.get(`/api/practices/${world.practiceA}/${what}?month=2026-11`)).status).toBe(404);
    expect((await lead.get(`/api/practices/${world.practiceA}/account-prices`)).status).toBe(404);
    expect((await manager.get(`/api/practices/${world.practiceB}/account?month=2026-11`)).status).toBe(404);
    const bad = await sonographer.get('/api/me/account?month=2026-13');
    expect([bad.status, (bad.body as { message: string }).message]).toEqual([
      400,
      'month: month: write a year and a month, such as 2026-11.',
    ]);
  });

  it('has amounts only where a price is kept, and sums what is counted', async () => {
    const file = async (who = sonographer, url = '/api/me/account/csv?month=2026-11') =>
      (await who.get(url)).raw;
    expect(await file()).not.toMatch(/Amount|Currency/);
    const prices = { currency: 'EUR', hundredths: { scan: 85_00, report: 40_50 } };
    await must(sonographer.put(`/api/practices/${world.practiceA}/account-prices`, { prices }));
    const account = await mine('2026-11');
    // Four scans (with the one of the 30th) and three reports.
    expect(part(account, world.practiceA).totalHundredths).toBe(4 * 8500 + 3 * 4050);
    expect(part(account, world.practiceB).totalHundredths).toBeNull();
    const lines = (await file()).split('\r\n');
    expect(lines[0]).toBe(
      'Practice,Day of the scan,"Entered, signed or sent on",Patient,Patient number,Case number,What,Question,Person,Counted,Note,Amount,Currency',
    );
    const rows = lines.map((l) => l.split(','));
    expect(
      rows
        .filter((r) => r.at(-1) === 'EUR')
        .map((r) => r.at(-2) ?? '')
        .sort((x, y) => x.localeCompare(y)),
    ).toEqual(['40.50', '40.50', '40.50', '85.00', '85.00', '85.00', '85.00']);
    // A rescan without a price, and a withdrawn scan, have no amount.
    expect(lines.find((l) => l.includes(',rescan,'))).toMatch(/,yes,,,$/);
    expect(lines.find((l) => l.includes('Taken back,') && l.includes(',scan,'))).toMatch(
      /,no,"withdrawn, not counted",,$/,
    );
    expect(await file(manager, `/api/practices/${world.practiceA}/account/csv?month=2026-11`)).toContain(
      'EUR',
    );
    const refused = await sonographer.put(`/api/practices/${world.practiceA}/account-prices`, {
      prices: { currency: 'EUR', hundredths: { scan: 12_000_000 } },
    });
    expect((refused.body as { message: string }).message).toMatch(/check the decimal point/);
    await must(
      sonographer.put(`/api/practices/${world.practiceA}/account-prices`, {
        prices: { currency: 'EUR', hundredths: {} },
      }),
    );
    expect(await file()).not.toMatch(/Amount/);
  });

  it('goes out as CSV with the mark only where it is asked for, and a name cannot become a formula', async () => {
    await draft(world.practiceB, '=HYPERLINK("https://x.example","Pay, now")', '2026-11-07');
    const plain = await sonographer.get('/api/me/account/csv?month=2026-11');
    expect(plain.headers['content-type']).toMatch(/^text\/csv; charset=utf-8/);
    expect(plain.headers['content-disposition']).toBe('attachment; filename="account-2026-11.csv"');
    expect(plain.raw.startsWith('Practice,')).toBe(true);
    expect(plain.raw).toContain(`,"'=HYPERLINK(""https://x.example"",""Pay, now"")",`);
    const marked = await sonographer.get('/api/me/account/csv?month=2026-11&bom=1');
    expect([...marked.bytes.subarray(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
  });

  it('goes out as PDF with its lines, counts and rules', async () => {
    const reply = await sonographer.get('/api/me/account/pdf?month=2026-11');
    expect(reply.headers['content-type']).toBe('application/pdf');
    const pdf = await readPdf(reply.bytes);
    const text = pdf.text.replace(/\s+/g, ' ');
    for (const words of [
      'Account for November 2026',
      'Test Practice Ash',
      '4 scans, 1 rescan, 3 scan reports, 1 referral',
      'Taken back',
      'withdrawn, not counted',
      'by the calendar of the practice',
    ])
      expect(text).toContain(words);
    const empty = await readPdf(
      (await manager.get(`/api/practices/${world.practiceA}/account/pdf?month=2020-01`)).bytes,
    );
    expect(empty.text.replace(/\s+/g, ' ')).toContain('Nothing was scanned, reported or sent in this month.');
  });
});
