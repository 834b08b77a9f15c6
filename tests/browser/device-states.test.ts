import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { findAxeProblems } from '../support/axe';
import { type KillableBrowser, launchBrowser, launchOn, PATIENCE_MS } from '../support/browser';
import { madeDicom } from '../support/made-dicom';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { makeWorld, PASSWORD, type World } from '../support/world';

/**
 * What can go wrong after a time without a network: a wrong password, a case that somebody took back meanwhile, a practice
 * that one no longer belongs to. Each is said, nothing is lost without being asked about.
 */
let system: RunningSystem;
let world: World;
let folder: string;
let browser: KillableBrowser;
let page: Page;

beforeAll(async () => {
  system = await startSystem();
  world = await makeWorld(system.admin);
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-states-'));
  browser = await launchOn(path.join(folder, 'browser'));
  const reply = await browser.context.request.post(at('/api/sessions'), {
    data: { email: world.people.sonographer.email, password: PASSWORD },
  });
  expect(reply.status()).toBe(200);
  page = await browser.context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  await page.goto(at('/rounds'));
  await page.getByRole('heading', { name: 'Rounds' }).waitFor();
  await page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state);
  // The program lies on the device once its worker has fetched it.
  await page.waitForFunction(async () => (await caches.match('/'))?.ok ?? false);
});
afterEach(async ({ task }) => {
  // With CHORDAE_SHOTS set to a folder, what was seen last is kept.
  const shots = process.env['CHORDAE_SHOTS'];
  if (shots) await page.screenshot({ path: path.join(shots, `states-${task.name.slice(0, 20)}.png`) });
});
afterAll(async () => {
  await browser?.context.close().catch(() => {});
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const at = (where: string) => `${system.url}${where}`;

/** A browser says so when the network is back; one that is driven does not always, in a page loaded without it. */
async function lineBack(): Promise<void> {
  await browser.context.setOffline(false);
  await page.evaluate(() => globalThis.dispatchEvent(new Event('online')));
}

/** A scan of one's own at a practice, opened without a network, with one number. Returns its address. */
async function scanOf(name: string, practice: string): Promise<string> {
  await page.goto(at('/referrals/new'));
  await page.getByRole('heading', { name: 'New referral' }).waitFor();
  await page.getByRole('group', { name: 'Practice' }).getByText(practice).click();
  await page.getByLabel('Patient name').fill(name);
  await page.getByRole('group', { name: 'Species' }).getByText('Cat', { exact: true }).click();
  await page.getByRole('group', { name: 'Sex' }).getByText('Male', { exact: true }).click();
  await page.getByLabel('Body weight').fill('4.8 kg');
  await page.getByRole('group', { name: 'Weight was' }).getByText('measured').click();
  await page.getByLabel('What do you want to know').selectOption('cat-before-anaesthesia');
  await page.getByLabel('Read by').selectOption('nobody');
  await page.getByRole('button', { name: 'Open the sheet' }).click();
  await page.getByRole('heading', { name, level: 1 }).waitFor();
  await page.getByLabel('IVSd', { exact: true }).fill('4.8');
  await page.keyboard.press('Tab');
  return page.url();
}

/** Until the server has all of a scan that was opened with a line. */
async function onServer(where: string): Promise<void> {
  const referralId = new URL(where).pathname.split('/').at(-1) ?? '';
  const numbers = () => system.admin`select 1 from measurements where referral_id = ${referralId}`;
  await expect.poll(async () => (await numbers()).length).toBe(1);
  await page.getByText('All saved').waitFor();
}

async function signWithout(name: string): Promise<void> {
  await page.getByRole('button', { name: 'Write the scan report' }).click();
  await page.getByLabel('Conclusion').fill(`${name}: no wall above the limit that is named.`);
  await page.getByText('Kept on this device until there is a network').waitFor();
  await page.keyboard.press('Control+Enter');
  await page.getByRole('dialog', { name: 'Sign the scan report' }).getByLabel('Your password').fill(PASSWORD);
  await page.keyboard.press('Enter');
  await page
    .getByText(/signature pending/i)
    .first()
    .waitFor();
}

describe('a signature that waits', () => {
  it('is not made with a wrong password, which is said where it is asked for; the right one makes it once', async () => {
    await browser.context.setOffline(true);
    await scanOf('Sable', 'Test Practice Ash');
    await signWithout('Sable');
    await page.goto(at('/device'));
    await lineBack();
    const form = page.locator('form', { hasText: 'signature is pending' });
    await form.getByLabel('Password').fill('not my password');
    await form.getByRole('button', { name: 'Sign these' }).click();
    await form.locator('.problem').waitFor();
    expect(await form.locator('.problem').innerText()).toMatch(/password/i);
    expect(await system.admin`select 1 from signed_reports`).toHaveLength(0);
    expect(await findAxeProblems(page, 'a wrong password')).toEqual([]);
    await form.getByLabel('Password').fill(PASSWORD);
    await form.getByRole('button', { name: 'Sign these' }).click();
    await page.getByText('Everything that was entered here is on the server.').waitFor();
    expect(await system.admin`select 1 from signed_reports`).toHaveLength(1);
  }, 180_000);
});

describe('a case that was taken back meanwhile', () => {
  it('is said with what was entered; it goes only when a person throws it away', async () => {
    const where = await scanOf('Russet', 'Test Practice Ash');
    await onServer(where);
    const referralId = new URL(where).pathname.split('/').at(-1) ?? '';
    await browser.context.setOffline(true);
    await page.getByLabel('History').fill('Written while it was taken back.');
    await page.getByText('Kept on this device until there is a network').waitFor();
    await system.admin`update referrals set state = 'withdrawn' where id = ${referralId}`;
    await page.goto(at('/device'));
    await lineBack();
    await page.getByText(/was not taken\./).waitFor();
    await page.getByText('What was entered').click();
    await page.getByText('Written while it was taken back.').waitFor();
    expect(await findAxeProblems(page, 'refused')).toEqual([]);
    // Trying again changes nothing as long as the case is away.
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByText(/was not taken\./).waitFor();
    await page.getByRole('button', { name: 'Throw it away …' }).click();
    await page.getByText('It is then gone for good.').waitFor();
    await page.getByRole('button', { name: 'Keep it', exact: true }).click();
    await page.getByText(/was not taken\./).waitFor();
    await page.getByRole('button', { name: 'Throw it away …' }).click();
    await page.getByRole('button', { name: 'Yes, throw it away' }).click();
    await page.getByText('Everything that was entered here is on the server.').waitFor();
    const [row] = await system.admin<
      { history: string }[]
    >`select history from referrals where id = ${referralId}`;
    expect(row?.history).toBe('');
  }, 180_000);
});

describe('a practice that one no longer belongs to', () => {
  it('is said, is readable no more, and gets what was not sent, which one of its vets takes into the records', async () => {
    const before = await scanOf('Fallow', 'Test Practice Birch');
    await onServer(before);
    await browser.context.setOffline(true);
    await scanOf('Umber', 'Test Practice Birch');
    const file = path.join(folder, 'umber.dcm');
    writeFileSync(file, madeDicom({ frames: 8, columns: 200, rows: 160, seed: 9, name: 'EXAMPLE^UMBER' }));
    await page.locator('input[type=file]').first().setInputFiles([file]);
    await page.getByText(/^8 frames/).waitFor();
    await signWithout('Umber');
    await system.admin`update memberships set ended_at = now()
      where member_id = ${world.people.sonographer.id} and practice_id = ${world.practiceB}`;
    await page.goto(at('/device'));
    await lineBack();
    await page
      .getByText(/^You no longer belong to Test Practice Birch .* handed to the practice\.$/)
      .waitFor();
    expect(await findAxeProblems(page, 'a practice left')).toEqual([]);
    // Neither of its cases opens any more, with or without a network.
    await page.goto(before);
    await page.locator('.page .problem, .page [role=alert]').first().waitFor();
    expect(await page.getByText('Fallow').count()).toBe(0);
    await browser.context.setOffline(true);
    await page.reload();
    await page.getByText(/^No network/).waitFor();
    expect(await page.getByText(/Fallow|Umber/).count()).toBe(0);
    await lineBack();
    await page.goto(at('/device'));
    await page.getByRole('button', { name: 'I have read this' }).click();
    await page.getByText('Everything that was entered here is on the server.').waitFor();

    const others = await launchBrowser();
    const vet = await signedPage(others, system.url, world.people.vetB.email);
    await vet.goto(`/p/${world.practiceB}/practice`);
    const part = vet.getByRole('region', { name: 'Handed over by people who left' });
    await part.getByText(/about .*Umber/).waitFor();
    await part.getByText(/report was signed on the device and never confirmed/).waitFor();
    expect(await findAxeProblems(vet, 'handed over')).toEqual([]);
    await part.getByRole('button', { name: 'Take it into the records' }).click();
    await part.getByText(/taken over\./).waitFor();
    const rows = await system.admin<{ patient: string; n: number }[]>`
      select p.name as patient, (select count(*)::int from measurements m where m.referral_id = r.id) as n
        from referrals r join patients p on p.practice_id = r.practice_id and p.id = r.patient_id
       where p.name = 'Umber'`;
    expect(rows).toEqual([{ patient: 'Umber', n: 1 }]);
    expect(
      await system.admin`select 1 from signed_reports s join referrals r on r.id = s.referral_id
      join patients p on p.id = r.patient_id where p.name = 'Umber'`,
    ).toHaveLength(0);
    const files = async () =>
      (
        await system.admin<{ state: string }[]>`
          select a.state from arrivals a where a.practice_id = ${world.practiceB} and a.file_name = 'umber.dcm'`
      ).map((r) => r.state);
    await expect.poll(files, { timeout: PATIENCE_MS }).toEqual(['read']);
    await vet.context().close();
    await others.close();
  }, 300_000);
});
