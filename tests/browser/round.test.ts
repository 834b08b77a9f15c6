import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { type KillableBrowser, launchOn, PATIENCE_MS } from '../support/browser';
import { type RunningSystem, startSystem } from '../support/running-system';
import { uuidv7 } from '../support/test-app';
import { makeWorld, PASSWORD, type World } from '../support/world';

/** Open files of real machines, where they are at hand: three of the ten patients are scanned with these. */
const OPEN_FILES = [
  'echo_jpegbaseline_fragmented_8f.dcm',
  'us_jpegbaseline_ybr422_30f.dcm',
  'derived/echo_plax_10f_mjpeg.avi',
];
const openFolder =
  process.env['CHORDAE_SHARED_DATA'] ?? path.resolve(import.meta.dirname, '../../../shared/data');
const openFiles = OPEN_FILES.map((name) => path.join(openFolder, name)).filter((file) => existsSync(file));
/** Every third patient, as long as there are files. */
const openFileOf = (n: number) => (n % 3 === 1 ? openFiles[(n - 1) / 3] : undefined);

/**
 * A visiting sonographer's day of ten patients at three practices, in a real browser: the network is gone from the first
 * patient to the last, the browser is killed twice, the clock is a day ahead. Afterwards everything is on the server once,
 * in order, each report signed once.
 */
const PATIENTS = 10;
/** About this one a cardiologist is asked as well. */
const ASKED = 6;
let system: RunningSystem;
let world: World;
let folder: string;
let browser: KillableBrowser;
let page: Page;
let presses = 0;
const faults: string[] = [];
const today = new Date().toISOString().slice(0, 10);
const NAMES = ['Nimbus', 'Bramble', 'Sorrel', 'Otto', 'Pip', 'Moss', 'Fern', 'Heather', 'Thistle', 'Bracken'];

beforeAll(async () => {
  folder = mkdtempSync(path.join(os.tmpdir(), 'chordae-round-'));
  const drawn = NAMES.map((_name, n) => n).filter((n) => openFileOf(n) === undefined);
  console.log(
    openFiles.length > 0
      ? `clips: ${drawn.length} drawn, and ${openFiles.map((f) => path.basename(f)).join(', ')}`
      : `clips: ${drawn.length} drawn; no open files of real machines are at hand (CHORDAE_SHARED_DATA)`,
  );
  const [started] = await Promise.all([
    startSystem(),
    ...drawn.map(async (n) => writeFileSync(drawnFile(n), await clipOf(n))),
  ]);
  system = started;
  world = await makeWorld(system.admin);
  const third = uuidv7();
  await system.admin`insert into practices (id, name, zone, phone) values (${third}, 'Test Practice Cedar', 'Europe/Dublin', '+353 1 000 0007')`;
  await system.admin`insert into memberships (id, member_id, practice_id, role) values (${uuidv7()}, ${world.people.sonographer.id}, ${third}, 'sonographer')`;
  browser = await launchOn(path.join(folder, 'browser'));
});
afterEach(async ({ task }) => {
  // With CHORDAE_SHOTS set to a folder, what was seen last is kept.
  const shots = process.env['CHORDAE_SHOTS'];
  if (shots)
    await page.screenshot({ path: path.join(shots, `round-${task.name.slice(0, 20)}.png`) }).catch(() => {});
});
afterAll(async () => {
  await browser?.context.close().catch(() => {});
  await system?.stop();
  rmSync(folder, { recursive: true, force: true });
});

const drawnFile = (n: number) => path.join(folder, `IM_${n}.dcm`);
const fileOf = (n: number) => openFileOf(n) ?? drawnFile(n);
const clipOf = (n: number) =>
  demoClip({
    view: 'rps-short-papillary',
    seed: 60 + n,
    species: 'cat',
    heart: 'normal',
    weightKg: 4,
    patientName: NAMES[n] ?? '',
    practiceName: 'Test Practice',
    day: today,
    frameCount: 6,
  });

const AHEAD_MS = 24 * 60 * 60_000;
async function openPage(): Promise<Page> {
  const opened = await browser.context.newPage();
  opened.setDefaultTimeout(PATIENCE_MS);
  opened.on('pageerror', (error) => faults.push(String(error)));
  return opened;
}
/** Everything a hand does besides writing text. */
async function press(key: string): Promise<void> {
  presses += 1;
  await page.keyboard.press(key);
}
async function click(what: ReturnType<Page['locator']>): Promise<void> {
  presses += 1;
  await what.click();
}

async function killAndReopen(where: string): Promise<void> {
  await page.getByText(/^No network/).waitFor();
  await browser.kill();
  browser = await launchOn(path.join(folder, 'browser'));
  await browser.context.setOffline(true);
  page = await openPage();
  await page.clock.install({ time: Date.now() + AHEAD_MS });
  await page.clock.resume();
  await page.goto(where);
}

/** From the list to a signed report, as the pages lead. */
async function wholeVisit(n: number): Promise<void> {
  const name = NAMES[n] ?? '';
  await click(page.getByRole('button', { name: `Scan ${name}` }));
  const dialog = page.getByRole('dialog', { name: new RegExp(`^${name} at`) });
  // Without a network nobody can say that it is not known here: a person says so.
  await click(dialog.getByRole('button', { name: 'Write it down as new' }));
  await click(dialog.getByRole('group', { name: 'Weight was' }).getByText('measured'));
  presses += 1;
  await dialog.getByLabel('What do you want to know').selectOption('cat-before-anaesthesia');
  await click(dialog.getByRole('button', { name: 'Open the scan' }));
  await page.getByRole('heading', { name, level: 1 }).waitFor();
  await page
    .getByRole('navigation', { name: 'Round' })
    .getByText(new RegExp(`of ${PATIENTS}`))
    .waitFor();
  await page.getByLabel('IVSd', { exact: true }).fill('4.8');
  await press('Tab');
  presses += 1;
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles([fileOf(n)]);
  // An open file names whom its machine filmed: nobody takes it for this animal but a person.
  if (openFileOf(n)?.endsWith('.dcm')) {
    const found = page.getByRole('dialog');
    await found.getByText(/Differs from the referral in: name/).waitFor();
    await click(found.getByRole('checkbox'));
    await click(found.getByRole('button', { name: `Take 1 file for ${name}` }));
  }
  await page.getByText('Kept on this device. It is sent by itself when there is a line.').waitFor();
  // Its pictures are looked at meanwhile; a hand does not wait for that each time.
  if (n === 0 || openFileOf(n))
    await page
      .getByText(/^\d+ frames/)
      .first()
      .waitFor();
  await page.getByText('Kept on this device until there is a network').waitFor();
  await click(page.getByRole('button', { name: 'Write the scan report' }));
  // Signed as soon as it is written: what was not kept yet is kept first.
  await page.getByLabel('Conclusion').fill(`${name}: no wall above the limit that is named.`);
  await press('Control+Enter');
  const sign = page.getByRole('dialog', { name: 'Sign the scan report' });
  await sign.getByLabel('Your password').fill(PASSWORD);
  await press('Enter');
  await page
    .getByText(/signature pending/i)
    .first()
    .waitFor();
}

/** A cardiologist is asked about a scan whose signature waits: all of it is kept, and nobody has it. */
async function askAlso(n: number): Promise<void> {
  await press('Alt+s');
  await page.getByRole('heading', { name: NAMES[n] ?? '', level: 1 }).waitFor();
  await click(page.getByRole('button', { name: 'Ask a cardiologist …' }));
  const ask = page.getByRole('dialog', { name: 'Ask a cardiologist' });
  await click(ask.getByRole('group', { name: 'Read by' }).getByText('Test Readers', { exact: true }));
  await click(ask.getByRole('group', { name: 'How soon do you need it' }).getByText('Emergency'));
  await press('Control+Enter');
  const send = page.getByRole('dialog', { name: 'Send this referral' });
  await send.getByText(/^There is no network\. Nobody has this referral/).waitFor();
  await send.getByRole('link', { name: '+353 1 000 0002' }).first().waitFor();
  await send.getByText('What the files say about the patient agrees with the referral.').waitFor();
  expect(await findAxeProblems(page, 'asking without a network')).toEqual([]);
  await press('Control+Enter');
  await page.getByText(/waits on this device behind your signature: nobody has it yet/).waitFor();
  await page.getByRole('link', { name: '+353 1 000 0002' }).first().waitFor();
}

describe('a day of ten patients without a network', () => {
  let dayUrl = '';

  it('is planned from a pasted list, scanned, reported and signed on the device, with the browser killed twice', async () => {
    page = await openPage();
    const reply = await browser.context.request.post(`${system.url}/api/sessions`, {
      data: { email: world.people.sonographer.email, password: PASSWORD },
    });
    expect(reply.status()).toBe(200);
    await page.goto(`${system.url}/rounds`);
    await page.getByRole('heading', { name: 'Rounds' }).waitFor();
    await page.evaluate(async () => (await navigator.serviceWorker.ready).active?.state);
    await expect.poll(() => page.evaluate(async () => (await caches.match('/'))?.ok ?? false)).toBe(true);
    await browser.context.setOffline(true);
    await page.clock.install({ time: Date.now() + AHEAD_MS });
    await page.clock.resume();
    await page.reload();
    await page.getByText(/^No network/).waitFor();

    await page.getByLabel('Day').fill(today);
    await click(page.getByRole('button', { name: 'Open a round' }));
    await page.getByText('Nobody is on it yet.').waitFor();
    dayUrl = page.url();
    await press('p');
    const line = (n: number) => `${NAMES[n]}; cat; FN; 6 y; 4.${n} kg; thick walls? anaesthesia next week`;
    const list = [
      ['Test Practice Ash', [0, 1, 2, 3]],
      ['Test Practice Birch', [4, 5, 6]],
      ['Test Practice Cedar', [7, 8, 9]],
    ] as const;
    await page
      .getByLabel(/^One patient a line/)
      .fill(list.flatMap(([name, of]) => [name, ...of.map(line), '']).join('\n'));
    await click(page.getByRole('button', { name: 'Look it over' }));
    await page.getByText(`${PATIENTS} patients read.`).waitFor();
    await click(page.getByRole('button', { name: 'Put them on the round' }));
    await page.getByText(`0 of ${PATIENTS} done.`).waitFor();
    expect(await findAxeProblems(page, 'the day')).toEqual([]);

    for (let n = 0; n < PATIENTS; n += 1) {
      await wholeVisit(n);
      if (n === ASKED) await askAlso(n);
      if (n === 2 || n === 6) await killAndReopen(dayUrl);
      else {
        await click(page.getByRole('link', { name: /^Round of/ }));
      }
      await page
        .getByRole('button', { name: `Scan ${NAMES[n + 1] ?? NAMES[0]}` })
        .or(page.getByText('Note for the day'))
        .first()
        .waitFor();
    }
    console.log(`a day of ${PATIENTS} patients: ${presses} presses, clicks, choices and drops besides texts`);
    expect(await system.admin`select 1 from referrals`).toHaveLength(0);
  }, 600_000);

  it('is on the server once and in order when the network is back, each report signed once', async () => {
    await browser.context.setOffline(false);
    await page.goto(`${system.url}/device`);
    // The battery went before the browser had written its cookie: signing in again is all that is asked.
    const signIn = page.getByRole('heading', { name: 'Sign in' });
    await signIn.or(page.getByRole('heading', { name: 'On this device' })).waitFor();
    if (await signIn.isVisible()) {
      await page.getByLabel('E-mail address').fill(world.people.sonographer.email);
      await page.getByLabel('Password').fill(PASSWORD);
      await page.getByRole('button', { name: 'Sign in' }).click();
      await page.getByRole('heading', { name: 'On this device' }).waitFor();
    }
    const there = async () =>
      (
        await system.admin<Record<string, unknown>[]>`
          select (select count(*)::int from referrals) as cases, (select count(*)::int from patients) as patients,
                 (select count(*)::int from measurements) as measured, (select count(*)::int from originals) as originals,
                 (select count(*)::int from arrivals where state = 'read') as read,
                 (select count(*)::int from round_visits where referral_id is not null) as visits`
      )[0];
    const all = { cases: 10, patients: 10, measured: 10, originals: 10, read: 10, visits: 10 };
    await expect.poll(there, { timeout: 120_000 }).toEqual(all);
    // Nothing counts as signed before the server has it: the password is asked for once, for all of them.
    expect(await system.admin`select 1 from signed_reports`).toHaveLength(0);
    expect(await system.admin`select 1 from referrals where state <> 'draft'`).toHaveLength(0);
    await page.getByText(/1 referral is not sent yet: nobody has it\./).waitFor();
    await page.getByText(`${PATIENTS} signatures are pending`, { exact: false }).waitFor();
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign these' }).click();
    const signed = async () =>
      (
        await system.admin<{ n: number }[]>`select count(distinct referral_id)::int as n from signed_reports`
      )[0]?.n;
    await expect.poll(signed, { timeout: 120_000 }).toBe(PATIENTS);
    expect(await system.admin`select 1 from signed_reports`).toHaveLength(PATIENTS);
    // The referral goes behind its signature, once, and only then has anybody got it.
    const sent = async () =>
      (
        await system.admin<{ kind: string; name: string }[]>`
          select e.kind, p.name from events e join referrals r on r.practice_id = e.practice_id and r.id = e.referral_id
            join patients p on p.practice_id = r.practice_id and p.id = r.patient_id
           where e.kind in ('report.signed', 'referral.sent') and p.name = ${NAMES[ASKED] ?? ''} order by e.seq`
      ).map((e) => e.kind);
    await expect.poll(sent).toEqual(['report.signed', 'referral.sent']);
    expect(await system.admin`select 1 from events where kind = 'referral.sent'`).toHaveLength(1);
    const order = await system.admin<{ name: string }[]>`
      select p.name from events e join referrals r on r.practice_id = e.practice_id and r.id = e.referral_id
        join patients p on p.practice_id = r.practice_id and p.id = r.patient_id
       where e.kind = 'referral.opened' order by e.seq`;
    expect(order.map((o) => o.name)).toEqual(NAMES);
    // The device was a day ahead; the server's time counts.
    const late = await system.admin`select 1 from signed_reports where signed_at > now() + interval '1 hour'`;
    expect(late).toHaveLength(0);
    const places = await system.admin<{ name: string; n: number }[]>`
      select pr.name, count(*)::int as n from referrals r join practices pr on pr.id = r.practice_id group by 1 order by 1`;
    expect(places.map((p) => p.n)).toEqual([4, 3, 3]);
  }, 400_000);

  it('is closed in one go, and reads well on a phone', async () => {
    await page.goto(dayUrl);
    await page.getByText(`${PATIENTS} of ${PATIENTS} done.`).waitFor();
    await page.getByRole('button', { name: 'Close the day' }).click();
    const dialog = page.getByRole('dialog', { name: 'Close the day' });
    await dialog.getByText('Everything of this day is done.').waitFor();
    await dialog.getByRole('button', { name: 'Close the day' }).click();
    await page.getByText(/Closed\./).waitFor();
    await page.setViewportSize({ width: 390, height: 844 });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(over).toBeLessThanOrEqual(0);
    expect(await findAxeProblems(page, 'the day at 390')).toEqual([]);
    expect(faults).toEqual([]);
  });
});
