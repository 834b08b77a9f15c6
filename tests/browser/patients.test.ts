import { text as textOf } from 'node:stream/consumers';
import type { ShelfClip } from '@chordae/contract';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { manyPatients } from '../support/many-patients';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { sentWithFiles } from '../support/sent-with-files';
import { signedPage } from '../support/signed-page';

import { makeWorld, type OpenedReferral, openDraft, type Person, type World } from '../support/world';

/** Patients of a practice by hand: found, weighed, merged and parted again; the practice's page, the account, the shelf. */
let system: RunningSystem;
let world: World;
let browser: Browser;
const faults: string[] = [];
const axe: string[] = [];
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

describe.sequential('patients and practice', () => {
  let vet: Page;
  let first: OpenedReferral;
  let second: OpenedReferral;

  it('finds a patient among hundreds by the telephone of its keeper, by keyboard alone', async () => {
    const one = await system.admin.reserve();
    await manyPatients(one as never, world.practiceA, world.people.vetA.id, { patients: 400, scans: 400 });
    one.release();
    vet = await open('vetA');
    const session = pageSession(vet);
    first = await openDraft(session, world, world.practiceA, {
      name: 'Kestrel',
      weightKg: 6,
      scannedOn: today,
    });
    second = await openDraft(session, world, world.practiceA, {
      name: 'Kestrel',
      weightKg: 6.4,
      scannedOn: today,
    });
    for (const d of [first, second])
      await session.put(`/api/practices/${world.practiceA}/patients/${d.patientId}/keeper`, {
        name: 'Invented Skerry',
        phone: '+353 86 777 6655',
        email: '',
      });
    await vet.goto(`/p/${world.practiceA}/patients`);
    await vet.getByText('402 patients.').waitFor();
    // Only what is in sight is drawn, and the last one is reached all the same.
    expect(await vet.locator('.patient-row').count()).toBeLessThan(60);
    await vet.getByLabel('Find a patient').focus();
    await vet.keyboard.press('ArrowDown');
    await vet.keyboard.press('End');
    const focused = () =>
      vet.evaluate(() => document.activeElement?.closest('li')?.getAttribute('aria-posinset'));
    await expect.poll(focused, { timeout: PATIENCE_MS }).toBe('402');
    await vet.keyboard.press('Home');
    await expect.poll(focused, { timeout: PATIENCE_MS }).toBe('1');
    await vet.getByLabel('Find a patient').fill('086 777 66 55');
    await vet.getByText('2 patients found.').waitFor();
    axe.push(...(await findAxeProblems(vet, 'patients')));
    await vet.keyboard.press('ArrowDown');
    await vet.keyboard.press('Enter');
    await vet
      .getByRole('heading', { name: /Kestrel/ })
      .first()
      .waitFor();
  });

  it('keeps a weight with its day, and tells a guessed one in words', async () => {
    await vet.goto(`/p/${world.practiceA}/patients/${first.patientId}`);
    await vet.getByRole('button', { name: 'Add a weight' }).click();
    await vet.getByLabel('Body weight').fill('5,8 kg');
    await vet.getByRole('button', { name: 'Keep this weight' }).click();
    await vet.getByText('Say whether it was measured or guessed.').waitFor();
    await vet.getByText('Guessed', { exact: true }).click();
    await vet.getByLabel('Weighed on').fill('2026-01-15');
    await vet.getByRole('button', { name: 'Keep this weight' }).click();
    await vet.getByRole('cell', { name: '15 January 2026' }).waitFor();
    const cells = vet.locator('tr', { hasText: '15 January 2026' });
    expect(await cells.innerText()).toMatch(/5\.8\d? kg\s+guessed/);
    expect(await vet.locator('.weight-chart svg').getAttribute('aria-label')).toMatch(
      /15 January 2026 \(guessed\)/,
    );
    axe.push(...(await findAxeProblems(vet, 'patient')));
  });

  it('saves a particular by itself, and never half a date', async () => {
    await vet.getByLabel('Birth date or age').fill('201');
    await vet.getByLabel('Chip number').fill('276098100999001');
    await vet.getByText('Write a date such as').waitFor();
    await vet.getByRole('heading', { name: 'Particulars' }).click();
    const stored = async () =>
      (
        await system.admin`select chip, birth_date::text as born from patients where id = ${first.patientId}`
      )[0];
    await expect
      .poll(stored, { timeout: PATIENCE_MS })
      .toEqual({ chip: '276098100999001', born: '2014-03-02' });
  });

  it('merges two after a look at both, and parts them again', async () => {
    await vet.goto(`/p/${world.practiceA}/patients/${first.patientId}`);
    await vet.getByRole('button', { name: /^Compare with Kestrel/ }).click();
    const dialog = vet.getByRole('dialog');
    await dialog.getByRole('row', { name: /^Keeper Invented Skerry/ }).waitFor();
    axe.push(...(await findAxeProblems(vet, 'merge dialog')));
    await dialog.getByRole('button', { name: 'Merge', exact: true }).click();
    await dialog.getByText('Choose which of the two stays.').waitFor();
    const number = (
      await system.admin<{ number: number }[]>`select number from patients where id = ${second.patientId}`
    )[0]?.number;
    await dialog.getByText(`Kestrel, number ${number}`, { exact: true }).last().click();
    await dialog.getByLabel('Why they are the same animal').fill('Same keeper, same dog.');
    await dialog.getByRole('button', { name: `Merge, and keep number ${number}` }).click();
    await vet.waitForURL(`**/patients/${second.patientId}`);
    await vet.getByText('Same keeper, same dog.').waitFor();
    expect(await vet.locator('.history').getByText('Scan', { exact: false }).count()).toBeGreaterThanOrEqual(
      2,
    );
    // The old address leads to the one that stands, and says so.
    await vet.goto(`/p/${world.practiceA}/patients/${first.patientId}`);
    await vet.getByText('was merged into this patient').waitFor();
    await vet.getByRole('button', { name: /^Undo the merge of Kestrel/ }).click();
    await vet.getByRole('dialog').getByRole('button', { name: 'Undo the merge' }).click();
    await vet.getByRole('button', { name: /^Compare with Kestrel/ }).waitFor();
    const merged = await system.admin`select 1 from patients where merged_into_id is not null`;
    expect(merged).toHaveLength(0);
  });

  it('lets the manager write the letterhead and end a membership after being told what it does', async () => {
    const manager = await open('managerA');
    await manager.goto(`/p/${world.practiceA}/practice`);
    await manager.getByLabel('Letterhead, a line each').fill('1 Test Lane\nAshtown');
    expect(await manager.locator('.paper-lines').innerText()).toBe('1 Test Lane\nAshtown');
    axe.push(...(await findAxeProblems(manager, 'practice')));
    await manager.getByRole('button', { name: 'Save', exact: true }).click();
    await expect
      .poll(
        async () => (await system.admin`select letterhead from practices where id = ${world.practiceA}`)[0],
        { timeout: PATIENCE_MS },
      )
      .toEqual({ letterhead: { schema: 1, lines: ['1 Test Lane', 'Ashtown'], footer: '' } });
    await manager.getByRole('button', { name: 'End the membership of Manager of Ash' }).click();
    const dialog = manager.getByRole('dialog');
    await dialog.getByText('no patient, no case, no account', { exact: false }).waitFor();
    await dialog.getByRole('button', { name: 'End the membership' }).click();
    await dialog.getByText('only manager', { exact: false }).waitFor();
    await manager.context().close();
  });

  it('gives the account as a file whose lines are those on the page', async () => {
    await vet.goto(`/account/${today.slice(0, 7)}`);
    await vet.getByRole('heading', { name: 'Test Practice Ash' }).waitFor();
    const shown = await vet.locator('.account-table tbody tr').count();
    axe.push(...(await findAxeProblems(vet, 'account')));
    const [download] = await Promise.all([
      vet.waitForEvent('download'),
      vet.getByRole('link', { name: 'As CSV' }).click(),
    ]);
    expect(download.suggestedFilename()).toBe(`account-${today.slice(0, 7)}.csv`);
    const text = await textOf(await download.createReadStream());
    expect(text.split('\r\n').filter((line) => line.startsWith('Test Practice Ash,'))).toHaveLength(shown);
    expect(shown).toBeGreaterThanOrEqual(2);
  });

  it('plays a clip from the shelf in the guide, until the practice takes its consent back', async () => {
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
    const session = pageSession(vet);
    const d = await sentWithFiles(system.url, world, session, [['clip.dcm', 'rps-short-papillary', clip]], {
      name: 'Nimbus',
      scannedOn: today,
    });
    await system.admin`update referrals set state = 'answered' where id = ${d.referralId}`;
    const at = `/p/${d.practiceId}/r/${d.referralId}/teaching`;
    await vet.goto(at);
    await vet.getByRole('button', { name: 'Give consent to teaching' }).click();
    await vet.getByText('Given by Vet of Ash').waitFor();
    const reader = await open('cardiologist');
    await reader.goto(at);
    await reader.getByRole('button', { name: /^Put on the shelf/ }).click();
    const dialog = reader.getByRole('dialog');
    await dialog.getByText('A changed heart in this view', { exact: true }).click();
    await dialog.getByLabel('Title').fill('A wide ventricle');
    await dialog.getByRole('button', { name: 'Put on the shelf' }).click();
    await dialog.getByText('Look at the picture first', { exact: false }).waitFor();
    await dialog.getByText('I have looked', { exact: false }).click();
    axe.push(...(await findAxeProblems(reader, 'shelf dialog')));
    await dialog.getByRole('button', { name: 'Put on the shelf' }).click();
    await reader.getByText('On the shelf: A wide ventricle').waitFor();
    const other = await open('vetB', 390);
    await other.goto('/views/rps-short-papillary?kind=dog');
    const shelved = other.locator('.shelf-clip', { hasText: 'A wide ventricle' });
    await shelved.locator('canvas').waitFor();
    // A picture is drawn: not every pixel is alike.
    const greys = () =>
      shelved.locator('canvas').evaluate((element) => {
        const canvas = element as HTMLCanvasElement;
        const { data } = canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height) ?? {
          data: [] as number[],
        };
        return new Set(Array.from(data).filter((_, at) => at % 4 === 0)).size;
      });
    await expect.poll(greys, { timeout: PATIENCE_MS }).toBeGreaterThan(8);
    axe.push(...(await findAxeProblems(other, 'guide with the shelf')));
    await vet.getByRole('button', { name: 'Take the consent back' }).click();
    await vet.getByText('Not given.').waitFor();
    const left = await other.context().request.get('/api/shelf?view=rps-short-papillary');
    expect((await left.json()) as ShelfClip[]).toEqual([]);
    await other.reload();
    await other
      .getByRole('heading', { name: 'How to get it' })
      .or(other.getByText('How to get it', { exact: true }))
      .first()
      .waitFor();
    await other.waitForLoadState('networkidle');
    expect(await other.getByText('A wide ventricle').count()).toBe(0);
  });

  it('says how many cases are missing before anything is drawn about a person, and fits a phone', async () => {
    const phone = await open('vetA', 390);
    for (const [url, text] of [
      ['/learning', 'After 20 answered cases; 1 so far.'],
      [`/p/${world.practiceA}/patients`, 'patients.'],
      [`/p/${world.practiceA}/patients/${first.patientId}`, 'Registered twice'],
      [`/p/${world.practiceA}/practice`, 'Who reads for this practice'],
      [`/account/${today.slice(0, 7)}`, 'How it is counted'],
    ] as const) {
      await phone.goto(url);
      await phone.getByText(text, { exact: false }).first().waitFor();
      const wide = await phone.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(wide, url).toBeLessThanOrEqual(0);
      axe.push(...(await findAxeProblems(phone, `${url} on a phone`)));
    }
    expect(axe).toEqual([]);
    expect(faults).toEqual([]);
  });
});
