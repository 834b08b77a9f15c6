import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findAxeProblems } from '../support/axe';
import { type KillableBrowser, launchOn, PATIENCE_MS } from '../support/browser';
import { madeDicom } from '../support/made-dicom';
import { type RunningSystem, startSystem } from '../support/running-system';
import { makeWorld, PASSWORD, type World } from '../support/world';

/**
 * A day without a network, in a real browser: the program opens, a case is made, its numbers are judged, a file is looked
 * at, the browser is killed, the clock is wrong. When the line is back, everything is on the server, once and in order.
 */
let system: RunningSystem;
let world: World;
let folder: string;
let browser: KillableBrowser;
let page: Page;

beforeAll(async () => {
  system = await startSystem();
  world = await makeWorld(system.admin);
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-offline-'));
  browser = await launchOn(path.join(folder, 'browser'));
});
afterAll(async () => {
  await browser?.context.close().catch(() => {});
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const at = (where: string) => `${system.url}${where}`;

async function openPage(): Promise<Page> {
  const opened = await browser.context.newPage();
  opened.setDefaultTimeout(PATIENCE_MS);
  return opened;
}
async function signInAs(person: 'sonographer' | 'vetA'): Promise<void> {
  const reply = await browser.context.request.post(at('/api/sessions'), {
    data: { email: world.people[person].email, password: PASSWORD },
  });
  expect(reply.status()).toBe(200);
}

/** Everything that a browser keeps of a person: rows of its databases, files, and shelves that are not the program's. */
const keptIn = (p: Page) =>
  p.evaluate(async () => {
    const rows: Record<string, number> = {};
    for (const { name } of await indexedDB.databases()) {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const ask = indexedDB.open(name ?? '');
        ask.addEventListener('success', () => resolve(ask.result));
        ask.addEventListener('error', () => reject(ask.error));
      });
      for (const store of db.objectStoreNames)
        rows[`${name}/${store}`] = await new Promise<number>((resolve) => {
          const ask = db.transaction(store).objectStore(store).count();
          ask.addEventListener('success', () => resolve(ask.result));
        });
      db.close();
    }
    const files: string[] = [];
    const root = await navigator.storage.getDirectory();
    const uploads = await root.getDirectoryHandle('uploads').catch(() => null);
    if (uploads)
      for await (const name of (uploads as unknown as { keys(): AsyncIterable<string> }).keys())
        files.push(name);
    const shelves = (await caches.keys()).filter((name) => !name.startsWith('chordae-program-'));
    return { rows, files, shelves, texts: Object.keys(localStorage) };
  });

/** A browser says so when the network is back; one that is driven does not always, in a page loaded without it. */
async function lineBack(): Promise<void> {
  await browser.context.setOffline(false);
  await page.evaluate(() => globalThis.dispatchEvent(new Event('online')));
}

describe('a day without a network', () => {
  it('opens, takes a whole case, survives a kill and a wrong clock, and sends all of it once', async () => {
    page = await openPage();
    await signInAs('sonographer');
    await page.goto(at('/referrals'));
    await page.getByRole('heading', { name: 'Referrals' }).waitFor();
    // The program lies on the device once its worker is active.
    await page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state);
    await expect.poll(() => page.evaluate(async () => (await caches.match('/'))?.ok ?? false)).toBe(true);

    // The worker is asked for anew each time, its files never again.
    const keeping = async (where: string) => (await fetch(at(where))).headers.get('cache-control');
    const script = (await page.locator('script[type=module]').first().getAttribute('src')) ?? '';
    expect(await keeping('/sw.js')).toBe('no-cache');
    expect(await keeping(script)).toMatch(/immutable/);

    await browser.context.setOffline(true);
    await page.reload();
    await page.getByText(/^No network/).waitFor();
    await page.getByRole('heading', { name: 'Referrals' }).waitFor();
    await page.getByText(/As of .*, kept on this device/).waitFor();

    await page.getByRole('link', { name: 'New referral' }).click();
    // The list has a choice of practices as well.
    await page.getByRole('heading', { name: 'New referral' }).waitFor();
    await page.getByRole('group', { name: 'Practice' }).getByText('Test Practice Ash').click();
    await page.getByLabel('Patient name').fill('Thistle');
    await page.getByRole('group', { name: 'Species' }).getByText('Cat', { exact: true }).click();
    await page.getByRole('group', { name: 'Sex' }).getByText('Male', { exact: true }).click();
    await page.getByLabel('Body weight').fill('4,8 kg');
    await page.getByRole('group', { name: 'Weight was' }).getByText('measured').click();
    await page.getByLabel('What do you want to know').selectOption('breathless');
    await page.getByRole('button', { name: 'Open the sheet' }).click();
    await page.getByText('Referral without a number yet').waitFor();
    const caseUrl = page.url();

    await page.getByLabel('History').fill('Breathing fast since the morning.');
    await page.getByRole('checkbox', { name: /mouth/i }).first().check();
    await page.getByLabel('LA (short axis)', { exact: true }).fill('17.5');
    await page.keyboard.press('Tab');
    const says = page.getByRole('complementary', { name: 'What this says' });
    await says.locator('.flag').first().waitFor();
    const flagsBefore = await says.locator('.flag').first().innerText();
    const file = path.join(folder, 'first.dcm');
    writeFileSync(file, madeDicom({ frames: 12, columns: 200, rows: 160, seed: 7, name: 'EXAMPLE^THISTLE' }));
    await page.locator('input[type=file]').first().setInputFiles([file]);
    await page.getByText(/^12 frames/).waitFor();
    await page.getByLabel('View of first.dcm').selectOption({ index: 1 });
    const view = await page.getByLabel('View of first.dcm').inputValue();
    expect(view).not.toBe('');
    await page.getByText('Kept on this device until there is a network').waitFor();

    // The battery goes. Another start, still no network, and the clock a day behind.
    await expect.poll(async () => (await keptIn(page)).files.length).toBe(1);
    await expect.poll(async () => (await keptIn(page)).rows['chordae-uploads/uploads']).toBe(1);
    await expect.poll(async () => (await keptIn(page)).rows['chordae-device/ops']).toBeGreaterThanOrEqual(6);
    await browser.kill();
    browser = await launchOn(path.join(folder, 'browser'));
    await browser.context.setOffline(true);
    page = await openPage();
    await page.clock.install({ time: Date.now() - 24 * 60 * 60_000 });
    await page.clock.resume();
    await page.goto(caseUrl);
    await page.getByRole('heading', { name: 'Thistle' }).waitFor();
    expect(await page.getByLabel('History').inputValue()).toBe('Breathing fast since the morning.');
    expect(await page.locator('.says .flag').first().innerText()).toBe(flagsBefore);
    await page.getByText(/^12 frames/).waitFor();
    expect(await page.getByLabel('View of first.dcm').inputValue()).toBe(view);
    await page.getByLabel('History').fill('Breathing fast since the morning. Worse now.');
    await page.getByText('Kept on this device until there is a network').waitFor();

    await page.getByRole('link', { name: 'On this device' }).click();
    await page.getByRole('heading', { name: 'On this device' }).waitFor();
    await page
      .getByText(/Thistle/)
      .first()
      .waitFor();
    await page.getByText(/1 file \(/).waitFor();
    expect(await findAxeProblems(page, 'on this device')).toEqual([]);
    await page.goto(caseUrl);
    await page.getByRole('heading', { name: 'Thistle' }).waitFor();

    // Days later: the session has ended meanwhile. Signing in again over the page is all that is asked.
    await system.admin`update sessions set ended_at = now()`;
    await lineBack();
    const gate = page.getByRole('dialog', { name: 'Your session has ended' });
    await gate.getByLabel('Password').fill(PASSWORD);
    await gate.getByRole('button', { name: 'Sign in' }).click();
    const there = async () =>
      (
        await system.admin<Record<string, unknown>[]>`
          select (select count(*)::int from patients where name = 'Thistle') as patients,
                 (select count(*)::int from weights) as weights,
                 (select count(*)::int from referrals) as cases,
                 (select min(history) from referrals) as history,
                 (select count(*)::int from measurements) as measured,
                 (select count(*)::int from observations) as answered,
                 (select count(*)::int from originals) as originals,
                 (select string_agg(state, ',') from arrivals) as files`
      )[0];
    await expect.poll(there, { timeout: PATIENCE_MS }).toEqual({
      patients: 1,
      weights: 1,
      cases: 1,
      history: 'Breathing fast since the morning. Worse now.',
      measured: 1,
      answered: 1,
      originals: 1,
      files: 'read',
    });
    const order = await system.admin<{ kind: string }[]>`
      select kind from events where kind in ('patient.created', 'weight.added', 'referral.opened', 'referral.edited', 'observation.added', 'measurement.added') order by seq`;
    expect(order.map((e) => e.kind).slice(0, 3)).toEqual([
      'patient.created',
      'weight.added',
      'referral.opened',
    ]);
    await page.getByText(/^Referral \d+, Test Practice Ash/).waitFor();
    await page.getByRole('button', { name: /Show clip 1/ }).waitFor();
    const named = async () =>
      (await system.admin<{ view: string | null }[]>`select view from clips`)[0]?.view;
    await expect.poll(named, { timeout: PATIENCE_MS }).toBe(view);
    await expect.poll(async () => (await keptIn(page)).rows['chordae-device/ops']).toBe(0);
    expect((await keptIn(page)).files).toEqual([]);
  });

  it('merges what two devices wrote without a network, and shows the one true conflict to the later one', async () => {
    // A page of its own: the wrong clock of the day before is over.
    const caseUrl = page.url();
    await page.close();
    page = await openPage();
    await page.goto(caseUrl);
    await page.getByRole('heading', { name: 'Thistle' }).waitFor();
    const referralId = new URL(caseUrl).pathname.split('/').at(-1) ?? '';
    await browser.context.setOffline(true);
    await page.getByLabel('History').fill('Written on the first device.');
    await page.getByLabel('Machine', { exact: true }).fill('Cart of the first device');
    await page.getByText('Kept on this device until there is a network').waitFor();
    await expect.poll(async () => (await keptIn(page)).rows['chordae-device/ops']).toBe(2);
    // The other device was quicker: one field of the same row, and one that the first did not touch.
    const [row] = await system.admin<{ revision: number; scan: string; scan_revision: number }[]>`
      select r.revision, s.id as scan, s.revision as scan_revision from referrals r
        join scan_referrals sr on sr.referral_id = r.id join scans s on s.id = sr.scan_id where r.id = ${referralId}`;
    const other = await fetch(at('/api/sessions'), {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: world.people.vetA.email, password: PASSWORD }),
    });
    const cookie = (other.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
    const patch = (where: string, base: number, fields: Record<string, unknown>) =>
      fetch(at(`/api/practices/${world.practiceA}/${where}`), {
        method: 'PATCH',
        headers: { 'content-type': 'application/json', cookie },
        body: JSON.stringify({ base, fields }),
      });
    const wrote = await patch(`referrals/${referralId}`, row?.revision ?? 0, {
      history: 'Written on the second device.',
      question: 'Is it the heart?',
    });
    expect(wrote.status).toBe(200);

    // Nobody looks while it is sent: the page of the first device is closed.
    await page.goto(at('/device'));
    await lineBack();
    await page.getByText(/1 choice on this device needs you/).waitFor();
    await page.getByText(/Vet of Ash changed the history while you were writing/).waitFor();
    await page.goto(at(`/p/${world.practiceA}/r/${referralId}`));
    await page.getByText(/Vet of Ash changed the history while you were writing/).waitFor();
    expect(await page.getByLabel('Machine', { exact: true }).inputValue()).toBe('Cart of the first device');
    const stands = async () =>
      (
        await system.admin<{ history: string; question: string; machine: string }[]>`
          select r.history, r.question, s.machine from referrals r join scan_referrals sr on sr.referral_id = r.id
            join scans s on s.id = sr.scan_id where r.id = ${referralId}`
      )[0];
    expect(await stands()).toEqual({
      history: 'Written on the second device.',
      question: 'Is it the heart?',
      machine: 'Cart of the first device',
    });
    await page.getByRole('button', { name: 'Keep mine' }).click();
    await expect
      .poll(async () => (await stands())?.history, { timeout: PATIENCE_MS })
      .toBe('Written on the first device.');
    await page.reload();
    await page.getByText('All saved').waitFor();
    expect(await page.getByText(/while you were writing/).count()).toBe(0);
  });

  it('keeps a referral that is sent without a network: looked over by the same rules, nobody has it, sent once', async () => {
    await browser.context.setOffline(true);
    const file = path.join(folder, 'second.dcm');
    writeFileSync(file, madeDicom({ frames: 8, columns: 200, rows: 160, seed: 8, name: 'EXAMPLE^THISTLES' }));
    await page.locator('input[type=file]').first().setInputFiles([file]);
    const found = page.getByRole('dialog');
    await found.getByText(/Differs from the referral in: name/).waitFor();
    await found.getByRole('checkbox').check();
    await found.getByRole('button', { name: 'Take 1 file for Thistle' }).click();
    await page.getByText('Kept on this device. It is sent by itself when there is a line.').waitFor();
    await page.getByRole('button', { name: /^Send …/ }).click();
    const dialog = page.getByRole('dialog', { name: 'Send this referral' });
    await dialog.getByText(/^There is no network\. Nobody has this referral/).waitFor();
    // A breathless cat: whom to telephone stands there at once.
    await dialog.locator('.notice-act-now').getByRole('link', { name: '+353 1 000 0002' }).waitFor();
    await dialog.getByText('Files and referral differ.').waitFor();
    const send = dialog.getByRole('button', { name: 'Send when there is a network' });
    expect(await send.isDisabled()).toBe(true);
    await dialog.getByLabel('Why it is the right patient').fill('Written in the plural on the machine.');
    expect(await findAxeProblems(page, 'sending without a network')).toEqual([]);
    await send.click();
    const waits = page.locator('.notice-act-now', {
      hasText: 'waits on this device for a network: nobody has it yet',
    });
    await waits.getByRole('link', { name: '+353 1 000 0002' }).waitFor();
    // What was looked over stays so until it is taken back.
    expect(await page.getByLabel('History').isDisabled()).toBe(true);
    await waits.getByRole('button', { name: 'Take it back' }).click();
    await expect.poll(() => page.getByLabel('History').isDisabled()).toBe(false);
    await page.getByRole('button', { name: /^Send …/ }).click();
    await dialog.getByLabel('Why it is the right patient').fill('Written in the plural on the machine.');
    await send.click();
    await waits.waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByText('Test Practice Ash: 1 change and 1 file', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Stay signed in' }).click();
    await lineBack();
    await waits.waitFor({ state: 'detached' });
    const sent = async () =>
      (
        await system.admin<Record<string, unknown>[]>`
          select r.state, r.identity, r.urgency, a.created_at < r.sent_at as told_before, o.arrived_at > r.sent_at as bytes_behind,
                 (select count(*)::int from events e where e.referral_id = r.id and e.kind = 'referral.sent') as times
            from referrals r join arrivals a on a.referral_id = r.id and a.file_name = 'second.dcm'
            left join originals o on o.practice_id = a.practice_id and o.id = a.original_id`
      )[0];
    await expect.poll(sent, { timeout: PATIENCE_MS }).toEqual({
      state: 'sent',
      identity: 'resolved',
      urgency: 'emergency',
      told_before: true,
      bytes_behind: true,
      times: 1,
    });
    await page
      .getByText(/^Sent\./)
      .first()
      .waitFor();
  });

  it('asks before signing out with unsent work, and leaves nothing of it behind', async () => {
    await browser.context.setOffline(true);
    const file = path.join(folder, 'third.dcm');
    writeFileSync(file, madeDicom({ frames: 4, columns: 200, rows: 160, seed: 9, name: 'EXAMPLE^THISTLE' }));
    await page.locator('input[type=file]').first().setInputFiles([file]);
    await page.getByText('Kept on this device. It is sent by itself when there is a line.').waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByText('Test Practice Ash: 1 file', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Stay signed in' }).click();
    expect((await keptIn(page)).files).toHaveLength(1);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('button', { name: 'Throw this away and sign out' }).click();
    await page.getByRole('link', { name: 'Sign in' }).first().waitFor();
    const kept = await keptIn(page);
    for (const store of ['ops', 'rows', 'conflicts', 'replies'])
      expect(kept.rows[`chordae-device/${store}`], store).toBe(0);
    expect(kept.rows['chordae-uploads/uploads'] ?? 0).toBe(0);
    expect([kept.files, kept.shelves, kept.texts]).toEqual([[], [], []]);
    await page.goto(at('/referrals'));
    await page.getByRole('button', { name: 'Sign in' }).waitFor();
    // The session itself ends with the first request that finds a line.
    await lineBack();
    await page.reload();
    await expect
      .poll(
        async () =>
          (
            await system.admin<{ open: number }[]>`
              select count(*)::int as open from sessions where member_id = ${world.people.sonographer.id} and ended_at is null`
          )[0]?.open,
        { timeout: PATIENCE_MS },
      )
      .toBe(0);
  });
});
