import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { uploadFile } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  observe,
  openDraft,
  PASSWORD,
  type Person,
  type Session,
  typeMeasurement,
  type World,
} from '../support/world';

/** A scan report from the sonographer's keys to the desk of the cardiologist who is asked about it afterwards. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let d: OpenedReferral;
const faults: string[] = [];
const today = new Date().toISOString().slice(0, 10);

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
}, 120_000);
afterAll(async () => {
  await browser?.close();
  await system?.stop();
});

const open = (person: Person, width = 1440) =>
  signedPage(browser, system.url, world.people[person].email, { faults, viewport: { width, height: 900 } });

/** A session that also carries the cookies for uploading. */
async function senderOf(page: Page): Promise<Session> {
  const cookies = await page.context().cookies();
  return { ...pageSession(page), cookie: cookies.map((c) => `${c.name}=${c.value}`).join('; ') };
}

const written = async (): Promise<Record<string, unknown>> =>
  ((await system.admin`select fields from report_drafts where referral_id = ${d.referralId}`)[0]?.[
    'fields'
  ] ?? {}) as Record<string, unknown>;

describe.sequential('a scan report', () => {
  let sonographer: Page;
  let vet: Page;

  it('begins on the sheet of a scan that nobody is asked about, and is written by keyboard beside the clip', async () => {
    sonographer = await open('sonographer');
    const sender = await senderOf(sonographer);
    d = await openDraft(sender, world, world.practiceA, { scannedOn: today, name: 'Nimbus' });
    await sender.patch(d.base, { base: 1, fields: { groupId: null, question: 'Why does it faint?' } });
    await typeMeasurement(sender, d, 'lvidd', 38.2);
    await observe(sender, d, 'collapse', 'yes');
    await observe(sender, d, 'weak-pulses-or-pale', 'yes');
    const clip = await demoClip({
      view: 'rps-short-papillary',
      seed: 5,
      species: 'dog',
      heart: 'dilated',
      weightKg: 7.4,
      patientName: 'Nimbus',
      practiceName: 'Test Practice Ash',
      day: today,
      // A little more than a beat: drawing is what takes long.
      frameCount: 20,
    });
    await uploadFile(sender, system.url, d, 'clip.dcm', clip);
    await expect
      .poll(async () => (await caseOf(sender, d)).clips.length, { timeout: PATIENCE_MS })
      .toBeGreaterThan(0);
    await sonographer.goto(`/p/${d.practiceId}/r/${d.referralId}`);
    await sonographer.getByText(/^Scan report \d+, Test Practice Ash$/).waitFor();
    await sonographer.getByRole('button', { name: 'Write the scan report' }).press('Enter');
    await sonographer.getByLabel('Conclusion').focus();
    await sonographer.keyboard.type('Large ventricle after a faint.');
    await sonographer.keyboard.press('Tab');
    await sonographer.keyboard.type('See a cardiologist today.');
    await expect.poll(written).toMatchObject({
      conclusion: 'Large ventricle after a faint.',
      next: 'See a cardiologist today.',
    });
    // The tabs of the scan by key, also out of a text.
    await sonographer.keyboard.press('Alt+n');
    await sonographer.getByRole('tab', { name: 'Numbers', selected: true }).waitFor();
    await sonographer.locator('.report-scan .index-line').first().waitFor();
    await sonographer.keyboard.press('Alt+c');
    await sonographer.getByRole('group', { name: /keys act here/ }).focus();
    await sonographer.keyboard.press('f');
    await sonographer.getByText(/is a key frame now/).waitFor();
    await expect.poll(async () => ((await written())['keyFrames'] as unknown[] | undefined)?.length).toBe(1);
  });

  it('proposes a sentence once the person who scanned has judged the view, taken by one key', async () => {
    const ventricle = sonographer.getByRole('group', { name: 'Left ventricle' });
    expect(await sonographer.locator('.finding').getByText('Proposed', { exact: true }).count()).toBe(0);
    await sonographer.getByRole('group', { name: /keys act here/ }).focus();
    await sonographer.keyboard.press('j');
    await sonographer.getByRole('dialog').getByLabel('View').selectOption('rps-short-papillary');
    await sonographer.keyboard.press('Enter');
    await sonographer.getByRole('dialog').waitFor({ state: 'detached' });
    await sonographer
      .locator('.finding')
      .getByText(/\(LVIDDN\) 2\.12/)
      .first()
      .waitFor();
    await ventricle.getByRole('radio', { checked: true }).focus();
    await sonographer.keyboard.press('a');
    await expect.poll(async () => JSON.stringify((await written())['findings'] ?? '')).toContain('LVIDDN');
  });

  it('waits for an answer to what cannot wait, then shows the paper and is signed', async () => {
    const now = sonographer.getByRole('region', { name: 'What cannot wait' });
    await sonographer.keyboard.press('Control+Enter');
    const dialog = sonographer.getByRole('dialog');
    await dialog.getByText(/act-now flags? ha(s|ve) no answer yet/).waitFor();
    await sonographer.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    const flags = await now.getByRole('group', { name: 'What you make of it' }).count();
    expect(flags).toBeGreaterThan(0);
    for (let n = 0; n < flags; n += 1) {
      await now.getByRole('group', { name: 'What you make of it' }).nth(n).getByRole('radio').first().focus();
      await sonographer.keyboard.press('p');
    }
    await expect
      .poll(async () =>
        ((await written())['flagAnswers'] as { answer: string }[] | undefined)?.map((a) => a.answer),
      )
      .toEqual(Array.from({ length: flags }, () => 'passed-up'));
    expect(await findAxeProblems(sonographer, 'writing')).toEqual([]);
    // Where nothing answers, the device makes the pages itself and says so.
    const preview = '**/report/preview';
    await sonographer.context().route(preview, (route) => route.abort());
    await sonographer.keyboard.press('Control+Enter');
    await dialog.getByText('As this device makes it now').waitFor();
    await dialog.getByText('It is not a specialist opinion.').first().waitFor();
    await sonographer.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    await sonographer.context().unroute(preview);
    await sonographer.keyboard.press('Control+Enter');
    await dialog.getByText(/The paper says that it is not a specialist opinion/).waitFor();
    const paper = sonographer.getByRole('document', { name: 'The scan report as it will be printed' });
    for (const words of [
      'Scan report by a sonographer',
      'It is not a specialist opinion.',
      'Draft, not signed',
      'Large ventricle after a faint.',
      'Passed up by who scanned',
    ])
      await paper.getByText(words).first().waitFor();
    expect(await findAxeProblems(sonographer, 'signing')).toEqual([]);
    await dialog.getByLabel('Your password').fill('not the password');
    await sonographer.keyboard.press('Enter');
    await dialog.getByText('The password is not right. Nothing was signed.').waitFor();
    await dialog.getByLabel('Your password').fill(PASSWORD);
    await sonographer.keyboard.press('Enter');
    await sonographer.getByRole('document', { name: 'The signed scan report' }).waitFor();
    await sonographer.getByText(/passed up, and no cardiologist has been asked/).waitFor();
    // Who scanned does not file for the practice.
    expect(await sonographer.getByRole('button', { name: /file it/ }).count()).toBe(0);
  });

  it('is found by the vet, asked about, answered and filed', async () => {
    vet = await open('vetA', 390);
    await vet.goto('/referrals');
    const waiting = vet.getByRole('region', { name: /^Waits on you/ });
    await waiting.getByText('Scan report signed: to be read and filed by the practice.').waitFor();
    await waiting.getByRole('link', { name: 'Nimbus' }).click();
    await vet.getByRole('document', { name: 'The signed scan report' }).waitFor();
    // A phone shows all of it without a sideways step.
    expect(
      await vet.evaluate(() => document.documentElement.scrollWidth - window.innerWidth),
    ).toBeLessThanOrEqual(0);
    expect(await findAxeProblems(vet, 'reading on a phone')).toEqual([]);
    await vet.getByLabel('To who scanned').fill('Which side was it scanned from?');
    await vet.getByRole('button', { name: 'Send' }).click();
    await vet.getByText(/Vet of Ash, practice/).waitFor();
    await sonographer.reload();
    await sonographer.getByText('Which side was it scanned from?').waitFor();
    await sonographer.getByLabel('To the practice').fill('From the right.');
    await sonographer.getByRole('button', { name: 'Send' }).click();
    await vet.getByText('From the right.').waitFor();
    await vet.getByRole('button', { name: 'I have read it: file it' }).click();
    await vet.getByText('The practice has read the scan report and filed it.').waitFor();
  });

  it('goes on to a cardiologist with all of the scan, who sees it on the desk as what the person who scanned wrote', async () => {
    await sonographer.reload();
    await sonographer.getByRole('button', { name: 'Ask a cardiologist …' }).click();
    const dialog = sonographer.getByRole('dialog');
    await dialog
      .getByRole('radio', { name: 'Test Readers' })
      .or(dialog.getByRole('radio').first())
      .first()
      .check();
    await dialog.getByLabel('What you want to know').fill('Treat today?');
    expect(await findAxeProblems(sonographer, 'asking')).toEqual([]);
    await dialog.getByRole('button', { name: 'Look over and send …' }).click();
    const send = dialog.getByRole('button', { name: 'Send now' });
    await send.waitFor();
    const groupOf = async () =>
      (await system.admin`select wanted_group_id from referrals where id = ${d.referralId}`)[0]?.[
        'wanted_group_id'
      ] as string | null;
    expect(await groupOf()).toBe(world.group);
    // Not yet: then nobody is asked, and the scan is as it was.
    await dialog.getByRole('button', { name: 'Not yet' }).click();
    await expect.poll(groupOf).toBe(null);
    await sonographer.getByRole('button', { name: 'Ask a cardiologist …' }).click();
    await dialog.getByRole('radio').first().check();
    await dialog.getByRole('button', { name: 'Look over and send …' }).click();
    await send.waitFor();
    const why = dialog.getByLabel('Why it is the right patient');
    await dialog.getByText(/Answer by/).waitFor();
    if ((await why.count()) > 0) await why.fill('The machine writes the surname first.');
    await send.click();
    await sonographer.waitForURL(new RegExp(`/r/${d.referralId}$`));
    await sonographer.getByRole('heading', { name: 'Scan report', exact: true }).waitFor();
    await sonographer.getByText(/^Referral \d+, Test Practice Ash to /).waitFor();
    const reader = await open('cardiologist');
    await reader.goto(`/desk/${d.practiceId}/${d.referralId}`);
    await reader.getByText('What the person who scanned wrote').waitFor();
    await reader.getByText('A report by the person who scanned, not a specialist opinion.').waitFor();
    await reader.getByText('Large ventricle after a faint.').waitFor();
    await reader.getByText('Treat today?').waitFor();
    // Between the practice and its sonographer: not for the group.
    expect(await reader.getByText('Which side was it scanned from?').count()).toBe(0);
    expect(await findAxeProblems(reader, 'desk')).toEqual([]);
    expect(faults).toEqual([]);
  });
});
