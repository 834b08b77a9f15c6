import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findAxeProblems } from '../support/axe';
import { launchBrowser } from '../support/browser';
import { pageSession } from '../support/page-session';
import { type RunningSystem, startSystem } from '../support/running-system';
import { signedPage } from '../support/signed-page';
import { uuidv7 } from '../support/test-app';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  PASSWORD,
  type Session,
  typeMeasurement,
  type World,
} from '../support/world';

/** An answer read on a phone, standing, with one thumb: what to do first, then why; what is done with it within reach. */
const PHONE = { width: 390, height: 844 };
/** A thumb that holds the phone reaches about the lower half (common practice). */
const REACH_FROM = PHONE.height / 2;
let system: RunningSystem;
let world: World;
let browser: Browser;
let page: Page;
let vet: Session;
let reader: Session;
let d: OpenedReferral;

const must = (r: { status: number; raw: string }) => {
  if (r.status !== 200) throw new Error(`${r.status} ${r.raw.slice(0, 300)}`);
};

beforeAll(async () => {
  [system, browser] = await Promise.all([startSystem(), launchBrowser()]);
  world = await makeWorld(system.admin);
  page = await signedPage(browser, system.url, world.people.vetA.email, {
    viewport: PHONE,
    hasTouch: true,
    reducedMotion: 'reduce',
  });
  vet = pageSession(page);
  reader = pageSession(await signedPage(browser, system.url, world.people.cardiologist.email));
  d = await openDraft(vet, world, world.practiceA);
  must(await typeMeasurement(vet, d, 'lvidd', 38.2));
  must(await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } }));
  must(await vet.post(`${d.base}/send`, { base: 2, identityReason: null }));
});
afterAll(async () => {
  await browser?.close();
  await system?.stop();
});

const at = () => `/api/cases/${d.practiceId}/${d.referralId}`;
const bar = () => page.getByRole('navigation', { name: 'What to do with the answer' });

/** Every control lies in the lower half, is high enough for a gloved finger, and is covered by nothing. */
async function withinReach(controls: Locator): Promise<string[]> {
  const names: string[] = [];
  for (const control of await controls.all()) {
    const box = await control.boundingBox();
    const name = ((await control.textContent()) ?? '').trim();
    names.push(name);
    if (!box) throw new Error(`${name} is not in sight`);
    expect(box.y, name).toBeGreaterThanOrEqual(REACH_FROM);
    expect(box.y + box.height, name).toBeLessThanOrEqual(PHONE.height);
    expect(box.x, name).toBeGreaterThanOrEqual(0);
    expect(box.x + box.width, name).toBeLessThanOrEqual(PHONE.width);
    expect(box.height, name).toBeGreaterThanOrEqual(44);
    const top = await control.evaluate((element) => {
      const { left, top, width, height } = element.getBoundingClientRect();
      const there = document.elementFromPoint(left + width / 2, top + height / 2);
      return there === element || element.contains(there);
    });
    expect(top, `${name} is covered`).toBe(true);
  }
  return names;
}

const controls = () => bar().locator('a, button');

describe('an answer on a phone', () => {
  it('an interim answer is acknowledged by the thumb, from the top of the page and from its end', async () => {
    const { revision } = (await caseOf(reader, d)).referral;
    must(await reader.post(`${at()}/take`, { base: revision }));
    must(await reader.put(`${at()}/interims/${uuidv7()}`, { text: 'Do not anaesthetise today.' }));
    await page.goto(`/p/${d.practiceId}/r/${d.referralId}`);
    await page.getByText('Do not anaesthetise today.').waitFor();
    expect(await withinReach(controls())).toEqual(['I have read this', 'Call', 'Ask']);
    await page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
    await withinReach(controls());
    await bar().getByRole('button', { name: 'I have read this' }).tap();
    await expect.poll(async () => (await caseOf(reader, d)).interims[0]?.readBackBy).toBe('Vet of Ash');
    await bar().waitFor({ state: 'detached' });
  });

  it('the opinion says what to do first, then why; calling, asking, printing and the keeper’s page are within reach', async () => {
    const now = await caseOf(reader, d);
    must(
      await reader.patch(`${at()}/opinion`, {
        base: now.draft?.revision,
        fields: {
          next: 'Start treatment as you see fit; postpone the anaesthetic.',
          conclusion: 'Fits degenerative mitral valve disease with a large left ventricle.',
          keeperPage: 'Count the breaths of Pebble asleep.\n\n- once a day',
        },
      }),
    );
    for (const flag of (now.interpretation?.flags ?? []).filter((f) => f.level === 'act-now'))
      must(
        await reader.put(`${at()}/flag-answers/${uuidv7()}`, {
          flagKey: flag.key,
          answer: 'kept',
          reason: '',
        }),
      );
    const drafted = await caseOf(reader, d);
    must(
      await reader.post(`${at()}/sign`, {
        base: drafted.referral.revision,
        draftRevision: drafted.draft?.revision,
        inputHash: drafted.interpretation?.inputHash ?? null,
        signedId: uuidv7(),
        password: PASSWORD,
      }),
    );
    await expect.poll(async () => (await caseOf(vet, d)).opinions[0]?.pdfSha256 ?? null).not.toBeNull();
    await page.goto(`/p/${d.practiceId}/r/${d.referralId}`);
    const first = page.getByText('Start treatment as you see fit');
    await first.waitFor();
    const why = page.getByText('Fits degenerative mitral valve disease with a large');
    const [a, b] = [await first.boundingBox(), await why.boundingBox()];
    // Both without scrolling, in that order, and above the bar; what was answered ahead, and read, comes after.
    expect(a?.y ?? 0).toBeLessThan(b?.y ?? 0);
    const ahead = await page.getByText('Do not anaesthetise today.').boundingBox();
    expect(ahead?.y ?? 0).toBeGreaterThan(b?.y ?? 0);
    expect((b?.y ?? 0) + (b?.height ?? 0)).toBeLessThan((await bar().boundingBox())?.y ?? 0);
    expect(await withinReach(controls())).toEqual(['Call', 'Ask', 'Print', 'Keeper']);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(
      0,
    );
    expect(await findAxeProblems(page, 'an answer at 390')).toEqual([]);

    const href = (await bar().getByRole('link', { name: 'Print' }).getAttribute('href')) ?? '';
    const print = await page.context().request.get(href);
    expect(print.headers()['content-type']).toBe('application/pdf');
    expect(await bar().getByRole('link', { name: 'Call' }).getAttribute('href')).toMatch(/^tel:\+?\d+$/);
  });

  it('asking opens the question with the cursor in it, above the bar', async () => {
    await bar().getByRole('button', { name: 'Ask' }).tap();
    const text = page.getByLabel('To the reading group');
    await expect.poll(() => text.evaluate((element) => element === document.activeElement)).toBe(true);
    const box = await text.boundingBox();
    expect((box?.y ?? 0) + (box?.height ?? 0)).toBeLessThanOrEqual((await bar().boundingBox())?.y ?? 0);
    await page.keyboard.type('May it travel?');
    await page.getByRole('button', { name: 'Send', exact: true }).tap();
    await expect.poll(async () => (await caseOf(reader, d)).thread[0]?.text).toBe('May it travel?');
  });

  it('the keeper’s page is read, released, and opened from the bar', async () => {
    await bar().getByRole('button', { name: 'Keeper' }).tap();
    const release = page.getByRole('button', { name: 'Release this page' });
    await expect
      .poll(async () => {
        const box = await release.boundingBox();
        return box !== null && box.y >= 0 && box.y < PHONE.height;
      })
      .toBe(true);
    await release.tap();
    const link = bar().getByRole('link', { name: 'Keeper' });
    await link.waitFor();
    const pdf = await page.context().request.get((await link.getAttribute('href')) ?? '');
    expect(pdf.headers()['content-type']).toBe('application/pdf');
    expect(await withinReach(controls())).toEqual(['Call', 'Ask', 'Print', 'Keeper']);
  });
});
