import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoClip } from '../../apps/api/src/demo/demo-clips';
import { findAxeProblems } from '../support/axe';
import { launchBrowser, PATIENCE_MS } from '../support/browser';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { uuidv7 } from '../support/test-app';
import { uploadFile } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  PASSWORD,
  type Person,
  type Session,
  typeMeasurement,
  type World,
} from '../support/world';

/** An opinion written by keyboard alone, lost line and all, signed on what is shown, and let out to the keeper. */
let system: RunningSystem;
let world: World;
let browser: Browser;
let d: OpenedReferral;
const contexts: BrowserContext[] = [];
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

async function open(person: Person | null): Promise<Page> {
  const email = person && world.people[person].email;
  const page = await signedPage(browser, system.url, email, { faults });
  contexts.push(page.context());
  return page;
}

async function sessionOf(page: Page): Promise<Session> {
  const call: Session['call'] = async (method, url, body) => {
    const reply = await page
      .context()
      .request.fetch(url, { method, ...(body === undefined ? {} : { data: body }) });
    const bytes = await reply.body();
    const raw = bytes.toString('utf8');
    return {
      status: reply.status(),
      body: (/^[[{]/.test(raw) ? JSON.parse(raw) : undefined) as never,
      raw,
      headers: reply.headers(),
      bytes,
    };
  };
  const cookies = await page.context().cookies();
  return {
    cookie: cookies.map((c) => `${c.name}=${c.value}`).join('; '),
    call,
    get: (url) => call('GET', url),
    put: (url, b) => call('PUT', url, b),
    post: (url, b) => call('POST', url, b),
    patch: (url, b) => call('PATCH', url, b),
  };
}

const fieldsNow = async (): Promise<Record<string, unknown>> =>
  (await system.admin`select fields from opinion_drafts where referral_id = ${d.referralId}`)[0]?.[
    'fields'
  ] as Record<string, unknown>;

describe.sequential('an opinion by keyboard', () => {
  let reader: Page;
  let vet: Page;
  const deskOf = () => `/desk/${d.practiceId}/${d.referralId}`;
  const toOpinion = async () => {
    await reader.goto(deskOf());
    await reader.getByRole('tab', { name: 'Opinion' }).waitFor();
    await reader.waitForTimeout(500);
    await reader.keyboard.press('o');
    await reader.getByLabel('Conclusion').waitFor();
  };

  it('proposes a sentence only where the reader has judged a view, marked until it is accepted by one key', async () => {
    vet = await open('vetA');
    reader = await open('cardiologist');
    const sender = await sessionOf(vet);
    d = await openDraft(sender, world, world.practiceA, { scannedOn: today, name: 'Nimbus' });
    await typeMeasurement(sender, d, 'lvidd', 38.2);
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
    await sender.patch(d.base, { base: 1, fields: { question: 'How far?' } });
    const sent = await sender.post(`${d.base}/send`, { base: 2, identityReason: 'Same animal.' });
    expect(sent.raw).toContain('revision');
    const hand = await sessionOf(reader);
    const seen = await caseOf(hand, d);
    await hand.post(`/api/cases/${d.practiceId}/${d.referralId}/take`, { base: seen.referral.revision });
    await toOpinion();
    const ventricle = reader.getByRole('group', { name: 'Left ventricle' });
    await ventricle.waitFor();
    expect(await reader.locator('.finding').getByText('Proposed', { exact: true }).count()).toBe(0);
    expect(await reader.getByText('No view of it was judged.').count()).toBeGreaterThan(4);
    const judged = await hand.put(
      `/api/cases/${d.practiceId}/${d.referralId}/clips/${seen.clips[0]?.id}/statements/${uuidv7()}`,
      { kind: 'judgement', view: 'rps-short-papillary', judged: 'adequate', axis: 'on-axis', why: '' },
    );
    expect(judged.status).toBe(200);
    await toOpinion();
    await reader.getByText(/\(LVIDDN\) 2\.12: above the limits of Cornell 2004/).waitFor();
    await ventricle.getByRole('radio', { checked: true }).focus();
    await reader.keyboard.press('a');
    await expect.poll(async () => JSON.stringify(await fieldsNow())).toContain('LVIDDN');
    const accepted = (await fieldsNow())['findings'] as Record<string, { text: string; proposed: string }>;
    expect(accepted['left-ventricle']?.text).toBe(accepted['left-ventricle']?.proposed);
    // One key more on the next structure, which the focus has gone on to.
    await reader.keyboard.press('n');
    await expect
      .poll(async () => ((await fieldsNow())['findings'] as Record<string, { state: string }>)['left-atrium'])
      .toMatchObject({ state: 'not-seen' });
    await reader.getByLabel('Left ventricle: what was seen').fill('Large, by my own words.');
    await expect.poll(async () => JSON.stringify(await fieldsNow())).toContain('by my own words');
    const edited = (await fieldsNow())['findings'] as Record<string, { text: string; proposed: string }>;
    expect(edited['left-ventricle']?.proposed).toContain('LVIDDN');
  });

  it('keeps a phrase from a selection and puts it in behind a slash', async () => {
    const field = reader.getByLabel('Conclusion');
    await field.focus();
    await reader.keyboard.type('Fits mitral disease.');
    await reader.keyboard.press('Control+a');
    await reader.keyboard.press('Alt+p');
    await reader.getByRole('option', { name: /Keep as phrase/ }).waitFor();
    await reader.keyboard.press('Enter');
    await expect.poll(async () => (await system.admin`select text from phrases`).length).toBe(1);
    await reader.getByLabel('What to do next').focus();
    await reader.keyboard.type('See: /mitral');
    await reader.getByRole('option', { name: 'Fits mitral disease.' }).waitFor();
    await reader.keyboard.press('Enter');
    expect(await reader.getByLabel('What to do next').inputValue()).toBe('See: Fits mitral disease.');
    // A slash inside a word is only a slash.
    await reader.keyboard.type(' Murmur 4/6.');
    expect(await reader.getByRole('listbox').count()).toBe(0);
    await reader.keyboard.type(' /fits');
    await reader.getByRole('option', { name: 'Fits mitral disease.' }).waitFor();
    await reader.keyboard.press('Shift+Delete');
    await expect
      .poll(async () => (await system.admin`select retired from phrases`)[0]?.['retired'] as boolean)
      .toBe(true);
    await reader.keyboard.press('Escape');
  });

  it('offers what had not reached the server again after the page was lost, and puts it back', async () => {
    await expect.poll(async () => (await fieldsNow())['next']).toContain('Murmur 4/6');
    await reader.context().route('**/opinion', (route) => route.abort());
    await reader.getByLabel('Conclusion').fill('Typed while the line was cut.');
    await reader
      .getByText(/Not saved/)
      .first()
      .waitFor();
    // The page dies on the spot: nothing of it is left but what the browser kept.
    const crashed = reader;
    await Promise.all([crashed.waitForEvent('crash'), crashed.goto('chrome://crash').catch(() => null)]);
    reader = await crashed.context().newPage();
    reader.setDefaultTimeout(PATIENCE_MS);
    await crashed.close();
    await reader.context().unroute('**/opinion');
    expect((await fieldsNow())['conclusion']).toBe('Fits mitral disease.');
    await toOpinion();
    await reader.getByText('Typed before the page was loaded again').waitFor();
    await reader.getByText('Typed while the line was cut.').waitFor();
    await reader.getByRole('button', { name: 'Put it back' }).click();
    await expect.poll(async () => (await fieldsNow())['conclusion']).toBe('Typed while the line was cut.');
    await reader.reload();
    await toOpinion();
    await reader.waitForTimeout(500);
    expect(await reader.getByText('Typed before the page was loaded again').count()).toBe(0);
  });

  it('counts the recheck from the day of the scan, begins the page for the keeper, and has no problem for axe', async () => {
    await reader.getByRole('button', { name: '6 months' }).click();
    await expect.poll(async () => (await fieldsNow())['recheckOn']).toMatch(/^20\d\d-\d\d-\d\d$/);
    await reader.getByRole('button', { name: 'Begin with what to watch' }).click();
    await expect.poll(async () => (await fieldsNow())['keeperPage']).toContain('Under 30 a minute');
    await reader.getByRole('button', { name: 'Raise a flag' }).click();
    // The focus goes into what was made, and stays there while it is saved.
    await reader.locator('textarea:focus').waitFor();
    await reader.keyboard.type('Weigh again.');
    await reader.getByRole('button', { name: 'Add a note' }).click();
    await reader.locator('textarea:focus').waitFor();
    await reader.keyboard.type('A small tilt would round it.');
    await reader.getByText('All saved').waitFor();
    expect(await findAxeProblems(reader, 'opinion')).toEqual([]);
  });

  it('shows the paper before it is signed, in the words of the draft', async () => {
    const flags = (await caseOf(await sessionOf(reader), d)).interpretation?.flags ?? [];
    expect(flags.filter((f) => f.level === 'act-now')).toEqual([]);
    await reader.keyboard.press('Control+Enter');
    await reader.getByRole('dialog').waitFor();
    const paper = reader.getByRole('document', { name: 'The opinion as it will be printed' });
    for (const words of [
      'Draft, not signed',
      'Typed while the line was cut.',
      'Large, by my own words.',
      'A small tilt would round it.',
      'Weigh again.',
    ])
      await paper.getByText(words).first().waitFor();
    expect(await findAxeProblems(reader, 'sign')).toEqual([]);
    await reader.getByLabel('Your password').fill(PASSWORD);
    await reader.keyboard.press('Enter');
    await reader.getByRole('article', { name: 'Signed opinion' }).waitFor();
  });

  it('lets the vet read the page for the keeper and release it, and anybody check the paper', async () => {
    await vet.goto(`/p/${d.practiceId}/r/${d.referralId}`);
    await vet.getByText('Nobody outside has it.').waitFor();
    expect(await vet.getByRole('link', { name: /Open the page/ }).count()).toBe(0);
    await vet.getByRole('button', { name: 'Release this page' }).click();
    await vet.getByRole('link', { name: 'Open the page (PDF)' }).waitFor();
    await vet.getByText(/^Released by Vet of Ash/).waitFor();
    expect(await findAxeProblems(vet, 'sheet')).toEqual([]);
    const hash = (await system.admin`select sha256 from signed_opinions`)[0]?.['sha256'] as string;
    const anybody = await open(null);
    await anybody.goto('/verify');
    await anybody.getByLabel('SHA-256 of the signed text').fill(`${hash.slice(0, 32)} ${hash.slice(32)}`);
    await anybody.keyboard.press('Enter');
    await anybody.getByText(/An opinion with this number was signed here by First cardiologist/).waitFor();
    expect(await findAxeProblems(anybody, 'verify')).toEqual([]);
    await anybody.goto(`/verify/${'0'.repeat(64)}`);
    await anybody.getByText('Nothing with this number was signed here.').waitFor();
    expect(faults).toEqual([]);
  });
});
