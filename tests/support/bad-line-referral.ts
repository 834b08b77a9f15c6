import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import type { BrowserContext, Page } from 'playwright-core';
import type postgres from 'postgres';
import type { BadLine } from './bad-line';
import { PATIENCE_MS } from './browser';
import { madeDicom } from './made-dicom';
import { uuidv7 } from './test-app';
import { PASSWORD, type World } from './world';

/** An urgent referral from a page on a bad line: files dropped, numbers typed, sent; and what came of it, from the database. */
export interface OnBadLine {
  readonly line: BadLine;
  readonly admin: postgres.Sql;
  readonly world: World;
}

export interface MadeFile {
  readonly at: string;
  readonly sha256: string;
  readonly bytes: number;
}

/** Files of about so many bytes, each with a strip of 'burnt-in' text and a region below it. */
export function makeFiles(folder: string, count: number, bytesEach: number): MadeFile[] {
  // The strip of text above the region must be more than a fiftieth, or nobody knows what is picture and what is text.
  const [columns, rows] = bytesEach > 4e6 ? [800, 380] : [320, 240];
  const frames = Math.max(4, Math.round(bytesEach / (columns * rows)));
  return Array.from({ length: count }, (_f, n) => {
    const bytes = madeDicom({ frames, columns, rows, seed: 500 + n });
    const at = path.join(folder, `clip-${String(n + 1).padStart(2, '0')}.dcm`);
    writeFileSync(at, bytes);
    return { at, sha256: createHash('sha256').update(bytes).digest('hex'), bytes: bytes.length };
  });
}

export interface OpenSheet {
  readonly practiceId: string;
  readonly referralId: string;
  readonly url: string;
}

/** Signs in and makes a draft about a dog with a weight; straight to the server, the line is for what is measured. */
export async function openSheetFor(
  context: BrowserContext,
  { line, world }: Pick<OnBadLine, 'line' | 'world'>,
): Promise<OpenSheet> {
  await signIn(context, line.url, world);
  const [patientId, referralId, scanId] = [uuidv7(), uuidv7(), uuidv7()] as [string, string, string];
  const at = `${line.url}/api/practices/${world.practiceA}`;
  const must = async (url: string, data: object) => {
    const reply = await context.request.put(url, { data });
    if (reply.status() !== 200) throw new Error(await reply.text());
  };
  await must(`${at}/patients/${patientId}`, {
    name: 'Pebble',
    species: 'dog',
    breedCode: null,
    breedText: '',
    sex: 'female',
    neutered: null,
    birthDate: null,
    birthPrecision: null,
    chip: null,
  });
  await must(`${at}/patients/${patientId}/weights/${uuidv7()}`, {
    weightKg: 8,
    asTyped: '8 kg',
    guessed: false,
    weighedOn: '2026-11-25',
  });
  await must(`${at}/referrals/${referralId}`, {
    patientId,
    groupId: world.group,
    plan: 'small-dog-murmur',
    scanId,
    scannedOn: '2026-11-25',
  });
  const { practiceA: practiceId } = world;
  return { practiceId, referralId, url: `${line.url}/p/${practiceId}/r/${referralId}` };
}

/** Straight to the server: cookies know no port, and the line is for what is measured. */
export async function signIn(context: BrowserContext, url: string, world: World): Promise<void> {
  const reply = await context.request.post(`${url}/api/sessions`, {
    data: { email: world.people.vetA.email, password: PASSWORD },
  });
  if (reply.status() !== 200) throw new Error(await reply.text());
}

export async function openPage(context: BrowserContext, sheet: OpenSheet): Promise<Page> {
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  // A cut may fall into the loading of the page: a person loads it again.
  for (let tries = 0; ; tries += 1) {
    const failed = await page.goto(sheet.url).then(
      () => null,
      (error: unknown) => error,
    );
    if (failed === null) break;
    if (tries === 9) throw failed;
  }
  await page.locator('input[type=file]').first().waitFor({ state: 'attached' });
  return page;
}

export const NUMBERS = [
  ['LVIDd', '38.2'],
  ['LA (short axis)', '24'],
  ['Ao (short axis)', '13'],
] as const;

/** Drops the files, types question and numbers and sends; gives the moment of 'Send now'. `pauseMs`: before the typing. */
export async function dropTypeAndSend(page: Page, files: readonly MadeFile[], pauseMs = 0): Promise<number> {
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles(files.map((f) => f.at));
  await new Promise((r) => setTimeout(r, pauseMs));
  await page.getByLabel('What you want to know').fill('Can it be anaesthetised tomorrow?');
  for (const [label, text] of NUMBERS) {
    await page.getByLabel(label, { exact: true }).fill(text);
    await page.getByLabel(label, { exact: true }).press('Tab');
  }
  await page.getByRole('button', { name: /^Send …/ }).click();
  const now = page.getByRole('button', { name: 'Send now' });
  await now.waitFor();
  while (await now.isDisabled()) await new Promise((r) => setTimeout(r, 50));
  const at = performance.now();
  await now.click();
  return at;
}

export interface SmallThings {
  readonly sentMs: number | null;
  readonly numbersMs: number | null;
  readonly firstFramesMs: number | null;
}

/** Milliseconds from 'Send now' until the reading group could see each of them; null where that took longer than `mostMs`. */
export async function waitForSmallThings(
  admin: postgres.Sql,
  { referralId }: OpenSheet,
  fileCount: number,
  sentAt: number,
  mostMs: number,
): Promise<SmallThings> {
  let sentMs: number | null = null;
  let numbersMs: number | null = null;
  let firstFramesMs: number | null = null;
  for (;;) {
    const [row] = await admin<{ state: string; question: string; numbers: number; frames: number }[]>`
      select r.state, r.question,
        (select count(*)::int from measurements m where m.referral_id = r.id and m.group_id is not null) as numbers,
        (select count(*)::int from first_frames f where f.referral_id = r.id and f.group_id is not null) as frames
       from referrals r where r.id = ${referralId}`;
    const ms = performance.now() - sentAt;
    if (row?.state === 'sent' && row.question !== '') sentMs ??= ms;
    if ((row?.numbers ?? 0) >= NUMBERS.length) numbersMs ??= ms;
    if ((row?.frames ?? 0) >= fileCount) firstFramesMs ??= ms;
    if ((sentMs !== null && numbersMs !== null && firstFramesMs !== null) || ms > mostMs)
      return { sentMs, numbersMs, firstFramesMs };
    await new Promise((r) => setTimeout(r, 50));
  }
}

/** Resolves when so many files are read. */
export async function waitForFiles(
  admin: postgres.Sql,
  referralId: string,
  count: number,
  mostMs: number,
): Promise<void> {
  const until = performance.now() + mostMs;
  for (;;) {
    const rows = await admin<{ state: string; n: number }[]>`
      select state, count(*)::int as n from arrivals where referral_id = ${referralId} group by state`;
    if (rows.some((r) => r.state === 'read' && r.n === count)) return;
    if (performance.now() > until) throw new Error(`not all files came: ${JSON.stringify(rows)}`);
    await new Promise((r) => setTimeout(r, 500));
  }
}

export async function storedHashes(admin: postgres.Sql, referralId: string): Promise<string[]> {
  const rows = await admin<{ sha256: string }[]>`
    select o.sha256 from arrivals a join originals o on o.id = a.original_id and o.practice_id = a.practice_id
     where a.referral_id = ${referralId} order by a.file_name`;
  return rows.map((r) => r.sha256);
}
