// Longer than the rule because one system and one Chromium serve all of it.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { makeWorld, openDraft, PASSWORD, type Person, type World } from '../support/world';

/** What happens off the main way: two people at once, a cut line, bad input, names in pictures, keys only, a phone. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let files: string;
const contexts: BrowserContext[] = [];
const faults: string[] = [];
const axe: string[] = [];
const today = new Date().toISOString().slice(0, 10);
/** A white picture: whatever is black in what the reader gets was made black by us. */
const PNG = { width: 320, height: 240 };

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  files = mkdtempSync(path.join(os.tmpdir(), 'chordae-corners-'));
  mkdirSync(path.join(files, 'stick', 'DICOM'), { recursive: true });
  const dicom = (
    name: string,
    view: 'rps-short-papillary' | 'rps-long-4ch',
    seed: number,
    patientName = 'Pebble',
  ) =>
    demoClip({
      view,
      seed,
      species: 'dog',
      heart: 'dilated',
      weightKg: 7.4,
      patientName,
      practiceName: 'Test Practice Ash',
      day: today,
      // Drawing is what takes long.
      frameCount: 12,
    }).then((bytes) => writeFileSync(path.join(files, name), bytes));
  const white = sharp({ create: { ...PNG, channels: 3, background: '#ffffff' } });
  await Promise.all([
    dicom('stick/DICOM/IM_0001.dcm', 'rps-short-papillary', 31),
    dicom('stick/DICOM/IM_0002.dcm', 'rps-long-4ch', 32),
    dicom('other-name.dcm', 'rps-long-4ch', 33, 'Thunderbolt'),
    white
      .clone()
      .png()
      .toFile(path.join(files, 'stick', 'drawn.png')),
    white
      .clone()
      .modulate({ brightness: 0.99 })
      .jpeg({ quality: 95 })
      .toFile(path.join(files, 'stick', 'numbers.jpg')),
  ]);
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
  if (files) rmSync(files, { recursive: true, force: true });
});

async function open(person: Person, options: Parameters<Browser['newContext']>[0] = {}): Promise<Page> {
  const context = await browser.newContext({
    locale: 'en-GB',
    viewport: { width: 1280, height: 900 },
    baseURL: system.url,
    reducedMotion: 'reduce',
    ...options,
  });
  contexts.push(context);
  const reply = await context.request.post('/api/sessions', {
    data: { email: world.people[person].email, password: PASSWORD },
  });
  expect(reply.status()).toBe(200);
  const page = await context.newPage();
  page.setDefaultTimeout(PATIENCE_MS);
  page.on('pageerror', (error) => faults.push(`${person}: ${String(error)}`));
  return page;
}

const sheetOf = (d: { practiceId: string; referralId: string }) => `/p/${d.practiceId}/r/${d.referralId}`;
const deskOf = (d: { practiceId: string; referralId: string }) => `/desk/${d.practiceId}/${d.referralId}`;
const historyOf = async (id: string) =>
  (await system.admin`select history from referrals where id = ${id}`)[0]?.['history'] as string;
const stateOf = async (id: string) =>
  (await system.admin`select state from referrals where id = ${id}`)[0]?.['state'] as string;
const focused = (page: Page) =>
  page.evaluate(() => {
    const at = document.activeElement;
    return `${at?.tagName ?? ''} ${at?.getAttribute('aria-label') ?? at?.textContent?.slice(0, 40) ?? ''}`;
  });

describe.sequential('off the main way', () => {
  let vet: Page;
  let reader: Page;
  let draft: Awaited<ReturnType<typeof openDraft>>;

  it('shows both texts when two people write one field, lets one type on, and keeps what is chosen', async () => {
    vet = await open('vetA');
    const other = await open('sonographer');
    draft = await openDraft(pageSession(vet), world, world.practiceA, { scannedOn: today });
    await Promise.all([vet.goto(sheetOf(draft)), other.goto(sheetOf(draft))]);
    await Promise.all([vet.getByLabel('History').waitFor(), other.getByLabel('History').waitFor()]);
    await Promise.all([
      vet.getByLabel('History').fill('Vet: coughs.'),
      other.getByLabel('History').fill('Sono: faints.'),
    ]);
    const asked = await Promise.race(
      [vet, other].map((page) =>
        page
          .getByRole('button', { name: 'Keep mine' })
          .waitFor()
          .then(() => page),
      ),
    );
    const mine = asked === vet ? 'Vet: coughs.' : 'Sono: faints.';
    const theirs = asked === vet ? 'Sono: faints.' : 'Vet: coughs.';
    await asked.getByText(theirs).first().waitFor();
    expect(await asked.getByLabel('History').inputValue()).toBe(mine);
    await asked.getByLabel('History').press('End');
    await asked.getByLabel('History').pressSequentially(' More.');
    await asked.waitForTimeout(900);
    expect(await historyOf(draft.referralId)).toBe(theirs);
    await asked.getByRole('button', { name: 'Keep mine' }).click();
    await expect.poll(() => historyOf(draft.referralId)).toBe(`${mine} More.`);
    const loser = asked === vet ? other : vet;
    await expect.poll(() => loser.getByLabel('History').inputValue()).toBe(`${mine} More.`);
    // One cell of the table at the same moment: both values are shown, and none is averaged away.
    const cells = [vet, other].map((page) => page.getByLabel('LVIDs', { exact: true }));
    await Promise.all([cells[0]?.fill('21'), cells[1]?.fill('27')]);
    await Promise.all(cells.map((cell) => cell.press('Tab')));
    const standing = async () =>
      (
        await system.admin`select m.value from measurements m where m.code = 'lvids' and not m.withdrawn and not exists (select 1 from measurements n where n.supersedes_id = m.id)`
      ).map((m) => m['value'] as number);
    await Promise.any(
      [vet, other].map((page) =>
        page
          .getByRole('button', { name: /^Keep (21 mm|mine)/ })
          .first()
          .waitFor(),
      ),
    );
    await other.waitForTimeout(300);
    for (const page of [vet, other]) {
      const mine = page.getByRole('button', { name: 'Keep mine' });
      const first = page.getByRole('button', { name: /^Keep 21 mm/ });
      // What is answered in one page is no question in the other any more, even while somebody reaches for it.
      const asked = (await mine.isVisible()) ? mine : (await first.isVisible()) ? first : null;
      await asked?.click({ timeout: 5000 }).catch(() => undefined);
      await page.waitForTimeout(400);
    }
    await expect.poll(async () => (await standing()).length).toBe(1);
    await other.close();
  });

  it('says that the line is cut, keeps the text, and saves it by itself when the line is back', async () => {
    await vet.route('**/api/**', (route) => route.abort());
    await vet.getByLabel('History').fill('Typed while nothing answered.');
    await vet.getByText('Kept on this device until there is a network').waitFor();
    await vet.getByRole('checkbox', { name: 'Fainted' }).check();
    await vet.getByLabel('LVIDd', { exact: true }).fill('38');
    await vet.getByLabel('LVIDd', { exact: true }).press('Tab');
    await vet.getByText(/^No network: 3 changes are kept on this device/).waitFor();
    expect(await historyOf(draft.referralId)).not.toContain('nothing answered');
    await vet.unroute('**/api/**');
    await expect
      .poll(() => historyOf(draft.referralId), { timeout: PATIENCE_MS })
      .toBe('Typed while nothing answered.');
    await vet.getByText('All saved').waitFor();
    const saved = () =>
      system.admin`select (select count(*) from observations where code = 'fainting')::int as ticks,
        (select count(*) from measurements where code = 'lvidd')::int as values`;
    await expect.poll(saved, { timeout: PATIENCE_MS }).toMatchObject([{ ticks: 1, values: 1 }]);
    expect(await vet.locator('td .problem').count()).toBe(0);
    await vet.getByRole('checkbox', { name: 'Fainted' }).uncheck();
  });

  it('says a sentence for each impossible number, and takes names and decimals as they are written', async () => {
    const page = await open('vetA');
    await page.goto('/referrals/new');
    await page.getByLabel('Patient name').fill('🐾 Żółć O’Neill-Ñandú');
    await page.getByRole('group', { name: 'Species' }).getByText('Dog', { exact: true }).click();
    await page.getByRole('group', { name: 'Sex' }).getByText('Male', { exact: true }).click();
    await page.getByRole('group', { name: 'Weight was' }).getByText('measured').click();
    await page.getByLabel('What do you want to know').selectOption('small-dog-murmur');
    for (const wrong of ['0 kg', '-3 kg', '3000 kg', 'heavy', '1e9 kg', '12']) {
      await page.getByLabel('Body weight').fill(wrong);
      await page.getByRole('button', { name: 'Open the sheet' }).click();
      await page.locator('.problem').first().waitFor();
      expect(page.url(), wrong).toContain('/referrals/new');
    }
    await page.getByLabel('Body weight').fill('7,4 kg');
    await page.getByRole('button', { name: 'Open the sheet' }).click();
    await page.waitForURL(/\/p\//);
    await page.getByRole('heading', { name: '🐾 Żółć O’Neill-Ñandú' }).waitFor();
    const cell = page.getByLabel('LVIDd', { exact: true });
    for (const wrong of ['-38', '0', 'wide', '999999', '38 kg']) {
      await cell.fill(wrong);
      await cell.press('Tab');
      await page.locator('td .problem').first().waitFor();
    }
    await cell.fill('3,82 cm');
    await cell.press('Tab');
    await expect.poll(() => page.locator('td .problem').count()).toBe(0);
    await page.close();
  });

  it('shows a stick of several patients as a list, and sends only what is ticked', async () => {
    const page = await open('vetA');
    const api = pageSession(page);
    const draft = await openDraft(api, world, world.practiceA, { name: 'Bramble', scannedOn: today });
    await page.goto(sheetOf(draft));
    const loose = path.join(files, 'loose.png');
    await sharp({ create: { ...PNG, channels: 3, background: '#e8e8e8' } })
      .png()
      .toFile(loose);
    const junk = path.join(files, 'notes.txt');
    writeFileSync(junk, 'Only words.');
    let announced = 0;
    page.on('request', (r) => {
      if (/\/arrivals\//.test(r.url())) announced += 1;
    });
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles([
        path.join(files, 'stick/DICOM/IM_0001.dcm'),
        path.join(files, 'other-name.dcm'),
        loose,
        junk,
      ]);
    const list = page.getByRole('dialog', { name: /patients found/ });
    await list.waitFor();
    await expect.poll(() => list.getByRole('checkbox').count()).toBe(3);
    await list.getByText('1 file is no image and will be left out').click();
    await list.getByText('notes.txt').waitFor();
    expect(announced).toBe(0);
    await list.getByRole('checkbox', { name: /Thunderbolt/i }).uncheck();
    await list.getByRole('checkbox', { name: 'Files that name no patient' }).check();
    await list.getByRole('button', { name: /^Take 1 file for Bramble/ }).click();
    await expect.poll(() => announced).toBe(1);
    await page.close();
  });

  it('takes a folder, and lets a person decide by drawing or by keyboard what may leave', async () => {
    const undecided = async () =>
      (
        await system.admin`select id from clips where mask = 'needs-decision' and referral_id = ${draft.referralId}`
      ).length;
    await vet.locator('input[webkitdirectory]').setInputFiles(path.join(files, 'stick'));
    await vet.getByRole('button', { name: /Show clip 4/ }).waitFor({ timeout: PATIENCE_MS });
    for (const n of [1, 2, 3, 4]) {
      await vet.getByRole('button', { name: new RegExp(`^Show clip ${n},`) }).click();
      const facts = (await vet.locator('.clip-facts').first().textContent()) ?? '';
      if (facts.includes('IM_')) {
        await vet.getByRole('group', { name: new RegExp(`Clip ${n}, keys`) }).focus();
        await vet.keyboard.press(facts.includes('IM_0001') ? '2' : '1');
        await vet.waitForTimeout(300);
      } else if (facts.includes('drawn')) {
        const area = vet.locator('.mask-stage');
        await area.scrollIntoViewIfNeeded();
        const box = await area.boundingBox();
        if (!box) throw new Error('no picture to draw on');
        await vet.mouse.move(box.x + box.width * 0.25, box.y + box.height * 0.25);
        await vet.mouse.down();
        await vet.mouse.move(box.x + box.width * 0.75, box.y + box.height * 0.75, { steps: 4 });
        await vet.mouse.up();
        await vet.getByRole('button', { name: 'Only the box may leave' }).click();
      } else {
        await vet.getByText('Give the box in numbers').focus();
        await vet.keyboard.press('Enter');
        for (const [edge, value] of [
          ['Left', 80],
          ['Top', 60],
          ['Right', 239],
          ['Bottom', 179],
        ] as const) {
          await vet.getByLabel(`${edge} edge`).press('Control+a');
          await vet.getByLabel(`${edge} edge`).pressSequentially(String(value));
        }
        await vet.getByRole('button', { name: 'Only the box may leave' }).focus();
        await vet.keyboard.press('Enter');
      }
    }
    await expect.poll(undecided).toBe(0);
    await vet.getByLabel('What you want to know').fill('How far?');
    await vet.getByRole('button', { name: /^Send …/ }).click();
    const dialog = vet.getByRole('dialog');
    await dialog.waitFor();
    axe.push(...(await findAxeProblems(vet, 'send dialog')));
    await vet.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    expect(await focused(vet)).toContain('Send');
    await vet.keyboard.press('Enter');
    await vet.getByRole('button', { name: 'Send now' }).click();
    await expect.poll(() => stateOf(draft.referralId)).toBe('sent');
  });

  it('gives the reader four tiles, the named views first, and stills that are black outside the box', async () => {
    reader = await open('cardiologist', { reducedMotion: 'reduce', viewport: { width: 1440, height: 900 } });
    await reader.goto(deskOf(draft));
    await reader.getByRole('img', { name: /^Tile 4/ }).waitFor();
    const names = await reader
      .getByRole('img', { name: /^Tile/ })
      .evaluateAll((all) => all.map((e) => e.getAttribute('aria-label') ?? ''));
    expect(names.map((n) => n.includes('view not named'))).toEqual([false, false, true, true]);
    // Motion is unwanted here: nothing plays until it is told to.
    await reader.waitForTimeout(800);
    const playing = () =>
      reader
        .locator('.tile-stage')
        .evaluateAll((all) => all.map((e) => (e as HTMLElement).dataset['playing']));
    expect(await playing()).toEqual(['false', 'false', 'false', 'false']);
    for (const place of [3, 4]) {
      const seen = await reader.locator(`[data-testid=tile-${place}] canvas`).evaluate((element, size) => {
        const canvas = element as HTMLCanvasElement;
        const scale = Math.min(canvas.width / size.width, canvas.height / size.height);
        const left = (canvas.width - size.width * scale) / 2;
        const top = (canvas.height - size.height * scale) / 2;
        const at = (x: number, y: number) =>
          canvas
            .getContext('2d')
            ?.getImageData(
              Math.round(left + x * size.width * scale),
              Math.round(top + y * size.height * scale),
              1,
              1,
            ).data[0];
        return {
          middle: at(0.5, 0.5),
          outside: [at(0.05, 0.05), at(0.95, 0.05), at(0.1, 0.5), at(0.5, 0.93)],
        };
      }, PNG);
      expect(seen.middle).toBeGreaterThan(200);
      for (const value of seen.outside) expect(value).toBeLessThan(20);
    }
  });

  it('says why nothing can be measured without calibration, and asks what a second length is', async () => {
    await reader.keyboard.press('t');
    await reader.getByRole('button', { name: 'Put back' }).waitFor();
    await reader.keyboard.press('3');
    await reader.keyboard.press('l');
    await reader.getByText(/This clip has no scale/).waitFor();
    await reader
      .getByRole('button', { name: /two points/ })
      .first()
      .waitFor();
    const draw = async (px: number) => {
      await reader.keyboard.press('1');
      await reader.keyboard.press('l');
      const box = await reader.getByTestId('tile-1').boundingBox();
      if (!box) throw new Error('no tile');
      await reader.mouse.move(box.x + box.width / 2, box.y + box.height / 2 - px);
      await reader.mouse.down();
      await reader.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + px, { steps: 3 });
      await reader.mouse.up();
      await reader.keyboard.press('m');
      await reader.keyboard.type('LVIDd');
    };
    const lengths = () =>
      system.admin`select beat, supersedes_id is not null as replaces from measurements where code = 'lvidd' and source = 'caliper' order by made_at`;
    await draw(40);
    await reader.keyboard.press('Tab');
    await reader.keyboard.press('Enter');
    await reader.getByText(/^Kept: LVIDd .*beat 1/).waitFor();
    await draw(44);
    await reader.getByRole('button', { name: 'Keep as beat 2' }).click();
    await reader.getByText(/^Kept: LVIDd .*beat 2/).waitFor();
    await draw(50);
    await reader.getByRole('button', { name: /^Replace [\d.]+ mm/ }).click();
    await reader.getByText(/^Kept: LVIDd .*beat 2/).waitFor();
    expect(await lengths()).toMatchObject([
      { beat: 1, replaces: false },
      { beat: 2, replaces: false },
      { beat: 2, replaces: true },
    ]);
  });

  it('tells a second cardiologist who reads, and lets the first put it back with a reason', async () => {
    const second = await open('secondCardiologist');
    await second.goto(deskOf(draft));
    await second.getByText(/First cardiologist reads/).waitFor();
    expect(await second.getByRole('button', { name: 'Take', exact: true }).count()).toBe(0);
    await reader.getByRole('button', { name: 'Put back' }).focus();
    await reader.keyboard.press('Enter');
    expect(await focused(reader)).toContain('TEXTAREA');
    // The focus stays inside, however often one goes on.
    for (let n = 0; n < 6; n += 1) await reader.keyboard.press('Tab');
    expect(
      await reader.evaluate(
        () => document.activeElement === document.body || !!document.activeElement?.closest('dialog'),
      ),
    ).toBe(true);
    axe.push(...(await findAxeProblems(reader, 'put-back dialog')));
    await reader.getByLabel('Reason').fill('Called away.');
    await reader.keyboard.press('Escape');
    await reader.getByText(/Escape once more/).waitFor();
    expect(await reader.getByLabel('Reason').inputValue()).toBe('Called away.');
    await reader.keyboard.press('Escape');
    await reader.getByRole('dialog').waitFor({ state: 'detached' });
    expect(await focused(reader)).toContain('Put back');
    await reader.keyboard.press('Enter');
    await reader.getByLabel('Reason').fill('Called away.');
    await reader.getByRole('button', { name: 'Put it back' }).click();
    await expect.poll(() => stateOf(draft.referralId)).toBe('sent');
    await second.getByRole('button', { name: 'Take', exact: true }).waitFor();
    await second.close();
  });

  it('goes from the queue to a signed opinion by keys alone', async () => {
    let presses = 0;
    const press = async (key: string, times = 1) => {
      for (let n = 0; n < times; n += 1) await reader.keyboard.press(key);
      presses += times;
    };
    await reader.goto('/queue');
    await reader.getByRole('button', { name: 'Take Pebble' }).waitFor();
    for (let n = 0; n < 20 && !(await focused(reader)).includes('Take Pebble'); n += 1) await press('Tab');
    expect(await focused(reader)).toContain('Take Pebble');
    // What has the focus can be seen.
    expect(
      await reader.evaluate(() => getComputedStyle(document.activeElement as Element).outlineStyle),
    ).not.toBe('none');
    await press('Enter');
    await reader.waitForURL(/\/desk\//);
    await reader.getByRole('button', { name: 'Put back' }).waitFor();
    await press('o');
    await expect.poll(() => focused(reader)).toContain('TEXTAREA');
    await reader.keyboard.type('Fits mitral disease.');
    await press('Tab');
    await reader.keyboard.type('Scan again in six months.');
    const onFinding = () =>
      reader.evaluate(() => document.activeElement?.matches('.finding input[type=radio]') ?? false);
    for (let n = 0; n < 15 && !(await onFinding()); n += 1) await press('Tab');
    const structures = reader.locator('.finding');
    const all = await structures.count();
    for (let n = 0; n < all; n += 1) {
      await press('n');
    }
    await press('Control+Enter');
    await reader.getByRole('dialog').waitFor();
    expect(await focused(reader)).toContain('INPUT');
    axe.push(...(await findAxeProblems(reader, 'sign dialog')));
    await reader.keyboard.type('not my password');
    await press('Enter');
    await reader.getByText(/password is not right/).waitFor();
    await press('Control+a');
    await reader.keyboard.type(PASSWORD);
    await press('Enter');
    await expect.poll(() => stateOf(draft.referralId), { timeout: PATIENCE_MS }).toBe('answered');
    const findings = (await system.admin`select fields->'findings' as found from signed_opinions`)[0]?.[
      'found'
    ] as object;
    expect(Object.values(findings).map((f) => (f as { state: string }).state)).toEqual(
      Array(all).fill('not-seen'),
    );
    // Take, write two texts, pass the stage and the day to look again, mark every structure, sign; the wrong password cost two.
    expect(presses - 2 - all).toBeLessThanOrEqual(32);
    console.log(`queue to signed: ${presses - 2} key presses besides the texts, ${all} of them structures`);
  });

  it('adds an addendum, and the vet reads it without the flags in the way and closes', async () => {
    await reader.getByRole('button', { name: 'Add an addendum' }).click();
    await reader.getByLabel('What is added').fill('Blood pressure first.');
    await reader.getByLabel('Your password').fill(PASSWORD);
    await reader.getByRole('button', { name: 'Sign the addendum' }).click();
    await vet.getByRole('article', { name: 'Addendum' }).getByText('Blood pressure first.').waitFor();
    expect(await vet.locator('.sheet-foot').count()).toBe(0);
    await vet.getByRole('button', { name: 'Close the referral' }).click();
    await expect.poll(() => stateOf(draft.referralId)).toBe('closed');
  });

  it('holds a clip of another name until it is let go with a reason, and says so when a referral is withdrawn', async () => {
    const api = pageSession(vet);
    const other = await openDraft(api, world, world.practiceA, { name: 'Otter', scannedOn: today });
    await api.put(`/api/cases/${other.practiceId}/${other.referralId}/observations/${crypto.randomUUID()}`, {
      code: 'ever-in-failure',
      value: 'no',
      supersedesId: null,
    });
    await vet.goto(sheetOf(other));
    await vet.getByLabel('What you want to know').fill('How far?');
    await vet.getByLabel('LVIDd', { exact: true }).fill('38');
    await vet.getByRole('button', { name: /^Send …/ }).click();
    await vet.getByRole('button', { name: 'Send now' }).click();
    await expect.poll(() => stateOf(other.referralId)).toBe('sent');
    await reader.goto(deskOf(other));
    await reader.getByRole('button', { name: 'Take', exact: true }).click();
    await reader.getByRole('button', { name: 'Put back' }).waitFor();
    await reader.getByText('Ever in heart failure: no').waitFor();
    // A file of another animal is held back until a person says why it is right.
    await vet
      .locator('input[type=file]')
      .first()
      .setInputFiles([path.join(files, 'other-name.dcm'), path.join(files, 'stick/DICOM/IM_0001.dcm')]);
    // Nothing of it is ticked, and nothing is sent, until somebody says that it belongs here.
    const stick = vet.getByRole('dialog');
    await stick.getByText('Differs from the referral in: name.').first().waitFor();
    expect(await stick.getByRole('checkbox', { checked: true }).count()).toBe(0);
    // What this practice has sent before is marked, with the patient it was sent for.
    await stick
      .getByText(/^The file was sent before: for \S+ in referral 1\. It is not sent again\.$/)
      .waitFor();
    await stick.getByRole('checkbox', { name: /Thunderbolt/i }).check();
    await stick.getByText(/A name is ticked that differs/).waitFor();
    await stick.getByRole('button', { name: 'Take 1 file for Otter' }).click();
    await vet.getByText('This clip is held back.').waitFor({ timeout: PATIENCE_MS });
    expect(await reader.getByRole('img', { name: /^Tile/ }).count()).toBe(0);
    await vet.getByLabel('Why it is the right patient').fill('Entered under the stable name.');
    await vet.getByRole('button', { name: 'Let the clip go' }).click();
    await reader.getByRole('img', { name: /^Tile 1/ }).waitFor();
    await vet.getByRole('button', { name: 'Withdraw' }).click();
    await vet.getByLabel('Reason').fill('The animal has been moved on.');
    await vet.getByRole('button', { name: 'Withdraw the referral' }).click();
    await reader
      .getByText(/withdrawn/i)
      .first()
      .waitFor();
    expect(await reader.getByRole('button', { name: 'Put back' }).count()).toBe(0);
  });

  it('works on a phone, with no word out of the page and nothing a machine finds wrong', async () => {
    const phone = await open('vetA', { viewport: { width: 390, height: 800 } });
    const onDesk = await open('cardiologist', { viewport: { width: 390, height: 800 }, colorScheme: 'dark' });
    const next = await openDraft(pageSession(phone), world, world.practiceA, {
      name: 'Sprat',
      scannedOn: today,
    });
    for (const [page, where] of [
      [phone, sheetOf(next)],
      [phone, '/referrals'],
      [phone, '/referrals/new'],
      [phone, sheetOf(draft)],
      [onDesk, deskOf(draft)],
      [onDesk, '/queue'],
    ] as const) {
      await page.goto(where);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await page.waitForTimeout(500);
      axe.push(...(await findAxeProblems(page, `${where} at 390`)));
      const size = await page.evaluate(() => ({
        over: document.documentElement.scrollWidth - innerWidth,
        foot: document.querySelector('.sheet-foot')?.getBoundingClientRect().height ?? 0,
        head: document.querySelector('header')?.getBoundingClientRect().height ?? 0,
      }));
      expect(size.over, where).toBeLessThanOrEqual(0);
      expect(size.foot, where).toBeLessThan(100);
      expect(size.head, where).toBeLessThan(200);
    }
    // Two act-now messages at once: both whole, with what not to do and the telephone, and nothing the machine finds wrong.
    await phone.goto(sheetOf(next));
    for (const sign of ['Collapsed', 'Weak pulses or pale gums']) await phone.getByLabel(sign).check();
    await phone.getByRole('group', { name: 'Fluid round the heart' }).getByText('large').click();
    const now = phone.getByRole('region', { name: 'Act now' });
    await now.getByText(/do not delay it to look for a mass/).waitFor();
    await now.getByText(/treat the circulation now/).waitFor();
    expect(await now.getByText(/Call \+353 1 000 0002/).count()).toBe(2);
    const shown = await now.evaluate((e) => ({
      bottom: e.getBoundingClientRect().bottom,
      page: innerHeight,
      cut: getComputedStyle(e).overflowY,
    }));
    expect(shown.bottom).toBeLessThanOrEqual(shown.page);
    expect(shown.cut).toBe('auto');
    axe.push(...(await findAxeProblems(phone, 'act now at 390')));
    expect(axe).toEqual([]);
  });

  it('shows 480 referrals to both sides', async () => {
    await system.admin`insert into referrals select (jsonb_populate_record(r, jsonb_build_object('id', gen_random_uuid(), 'number', 1000 + n, 'state', 'sent'))).*
      from referrals r, generate_series(1, 480) n where r.id = ${draft.referralId}`;
    for (const [page, link] of [
      [vet, 'Referrals'],
      [reader, 'Queue'],
    ] as const) {
      await page.goto('/how');
      await page.getByRole('link', { name: link }).click();
      await page
        .getByText(/referral 1480/i)
        .first()
        .waitFor();
      expect(await page.getByText(/referral 1\d{3}/i).count(), link).toBe(480);
    }
    expect(faults).toEqual([]);
  });
});
