import { createHash } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import type { CaseView, OpinionText, VerifiedOpinion } from '@chordae/contract';
import { canonicalText } from '@chordae/report';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { renderOpinion } from '../../apps/api/src/features/signatures';
import { jobTable } from '../../apps/api/src/worker';
import { madeDicom } from '../support/made-dicom';
import { readPdf } from '../support/pdf-text';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import { uploadFile } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  openDraft,
  PASSWORD,
  type Session,
  sessionOf,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

/** One opinion with everything that can be said in it: draft, preview, signature, paper, check, page for the keeper. */
let t: TestApp;
let world: World;
let vet: Session;
let manager: Session;
let cardiologist: Session;
let lead: Session;
let elsewhere: Session;
let d: OpenedReferral;
let at: string;
let clipId: string;
const signedId = uuidv7();
const work = () => workOff(t, jobTable(t.worker) as never);
const must = (r: { status: number; raw: string }) => {
  expect(r.raw === '' ? r.status : `${r.status} ${r.raw.slice(0, 300)}`).toMatch(/^200/);
};

beforeAll(async () => {
  t = await startTestApp({ CHORDAE_PUBLIC_URL: 'https://chordae.example' });
  await t.app.listen({ host: '127.0.0.1', port: 0 });
  const base = `http://127.0.0.1:${(t.app.server.address() as AddressInfo).port}`;
  world = await makeWorld(t.admin);
  const people = world.people;
  [vet, manager, cardiologist, lead, elsewhere] = (await Promise.all(
    [people.vetA, people.managerA, people.cardiologist, people.lead, people.otherCardiologist].map((p) =>
      signIn(t.app, p.email),
    ),
  )) as [Session, Session, Session, Session, Session];
  d = await openDraft(vet, world, world.practiceA);
  at = `/api/cases/${d.practiceId}/${d.referralId}`;
  await typeMeasurement(vet, d, 'lvidd', 38.2);
  await uploadFile(vet, base, d, 'clip.dcm', madeDicom({ frames: 4 }));
  await work();
  clipId = (await caseOf(vet, d)).clips[0]?.id ?? '';
  must(
    await vet.patch(`/api/practices/${d.practiceId}/clips/${clipId}`, {
      view: 'rps-short-papillary',
      viewJudged: 'received',
      viewWhy: null,
    }),
  );
  must(await vet.patch(d.base, { base: 1, fields: { question: 'How far?' } }));
  must(
    await vet.post(`${d.base}/send`, { base: 2, identityReason: 'The machine writes the surname first.' }),
  );
  await work();
}, 120_000);
afterAll(async () => t.close());

const TEXT: Partial<OpinionText> = {
  conclusion: 'Fits degenerative mitral valve disease.',
  stage: 'Echo criteria of B2 are met.',
  next: 'Treat as you see fit; call if the breathing changes.',
  notToConclude: 'The right heart was not in these clips.',
  rescan: 'Short axis at the aortic valve, turned a little further.',
  technique: 'Depth could be a little smaller.',
  recheckOn: '2027-05-25',
  recheckFor: 'left atrium and ventricle',
  keeperPage:
    '[To be checked by the vet before it is released]\n\nCount the breaths of Pebble asleep.\n\n- once a day\n- write the number down',
};
const withClips = (): Partial<OpinionText> => ({
  ...TEXT,
  findings: { mitral: { state: 'described', text: 'Thickened leaflets, changed.', proposed: 'Thickened.' } },
  ownFlags: [{ id: uuidv7(), level: 'look', text: 'Weigh again at the recheck.' }],
  clipFeedback: [{ clipId, text: 'A small tilt would round this cut.', frame: 1, drawings: [] }],
  keyFrames: [
    {
      id: uuidv7(),
      clipId,
      frame: 2,
      caption: 'Largest ventricle.',
      drawings: [
        {
          shape: 'length',
          points: [
            { x: 20, y: 20 },
            { x: 40, y: 36 },
          ],
          axis: null,
          label: 'LVIDd 38.2 mm',
        },
      ],
    },
  ],
});

/** The JPEG pictures that a PDF holds, as its own bytes. */
function jpegsIn(pdf: Buffer): Buffer[] {
  const found: Buffer[] = [];
  for (let from = pdf.indexOf('ffd8ff', 0, 'hex'); from >= 0; from = pdf.indexOf('ffd8ff', from + 3, 'hex')) {
    const end = pdf.indexOf('endstream', from);
    found.push(pdf.subarray(from, end));
  }
  return found;
}

const dense = (text: string) => text.replace(/\s+/g, '');

describe.sequential('an opinion with everything in it', () => {
  it('is shown as the paper will be, to the reader alone, and says that it is not signed', async () => {
    expect((await cardiologist.get(`${at}/opinion/preview`)).status).toBe(404);
    const revision = (await caseOf(cardiologist, d)).referral.revision;
    must(await cardiologist.post(`${at}/take`, { base: revision }));
    must(await cardiologist.patch(`${at}/opinion`, { base: 1, fields: withClips() }));
    const shown = await cardiologist.get(`${at}/opinion/preview`);
    expect(shown.headers['content-type']).toBe('application/pdf');
    expect(shown.headers['cache-control']).toContain('no-store');
    const pdf = await readPdf(shown.bytes);
    const { recheckOn: _, keeperPage: __, ...printed } = TEXT;
    for (const words of Object.values(printed)) expect(dense(pdf.text)).toContain(dense(words as string));
    for (const words of ['25 May 2027', 'Largest ventricle.', 'Weigh again', 'A small tilt', 'LVIDd 38.2 mm'])
      expect(pdf.text).toContain(words);
    // The page for the keeper is a paper of its own.
    expect(pdf.text).not.toContain('Count the breaths');
    expect(pdf.text).toContain('Draft, not signed');
    expect(pdf.text).not.toContain('SHA-256');
    expect((await lead.get(`${at}/opinion/preview`)).status).toBe(409);
    for (const other of [vet, manager]) expect((await other.get(`${at}/opinion/preview`)).status).toBe(403);
    expect((await elsewhere.get(`${at}/opinion/preview`)).status).toBe(404);
  });

  it('gives the same pages as blocks, and leaves the draft as it was', async () => {
    const asBlocks = await cardiologist.call('GET', `${at}/opinion/preview`, undefined, {
      accept: 'application/json',
    });
    const { blocks } = asBlocks.body as { blocks: { kind: string; mark?: string }[] };
    expect(blocks.map((b) => b.kind)).toContain('key-frames');
    expect(blocks.find((b) => b.kind === 'title')?.mark).toBe('Draft, not signed');
    expect((await caseOf(cardiologist, d)).draft?.revision).toBe(2);
  });

  it('prints what was signed, with the pictures as the group saw them', async () => {
    const seen = await caseOf(cardiologist, d);
    const open = (seen.interpretation?.flags ?? []).filter((f) => f.level === 'act-now');
    for (const flag of open)
      must(
        await cardiologist.put(`${at}/flag-answers/${uuidv7()}`, {
          flagKey: flag.key,
          answer: 'kept',
          reason: '',
        }),
      );
    const now = await caseOf(cardiologist, d);
    must(
      await cardiologist.post(`${at}/sign`, {
        base: now.referral.revision,
        draftRevision: now.draft?.revision,
        inputHash: now.interpretation?.inputHash ?? null,
        signedId,
        password: PASSWORD,
      }),
    );
    await work();
    const signed = (await caseOf(vet, d)).opinions[0];
    expect(signed?.text).toMatchObject(TEXT);
    const stored = await t.admin<
      { canonical_text: string }[]
    >`select canonical_text from signed_opinions where id = ${signedId}`;
    const document = JSON.parse(stored[0]?.canonical_text ?? '{}') as Record<string, unknown>;
    expect(document).toMatchObject({
      schema: 2,
      scannedOn: '2026-11-25',
      clips: [{ id: clipId, number: 1 }],
    });
    const paper = await vet.get(`${at}/opinions/${signedId}/pdf`);
    const pdf = await readPdf(paper.bytes);
    expect(pdf.text).toContain('Signed by First cardiologist');
    expect(pdf.text).toContain('Clip 1, right parasternal short axis, papillary muscles, frame 3');
    expect(dense(pdf.text)).toContain(`https://chordae.example/verify/${signed?.sha256}`);
    expect(pdf.text).not.toContain('not signed');
    const pictures = jpegsIn(paper.bytes);
    expect(pictures).toHaveLength(2);
    for (const jpeg of pictures) {
      const { data, info } = await sharp(jpeg).greyscale().raw().toBuffer({ resolveWithObject: true });
      expect([info.width, info.height]).toEqual([64, 48]);
      // The name is written there in the original (white, above 240 for the practice).
      for (let x = 4; x < 60; x += 4) expect(data[3 * 64 + x]).toBeLessThan(24);
      expect(Math.max(...data.subarray(20 * 64, 40 * 64))).toBeGreaterThan(60);
    }
  });

  it('is known by its hash to anybody, and tells nobody whose it is', async () => {
    const { sha256 } = (await caseOf(vet, d)).opinions[0] as CaseView['opinions'][number];
    const anybody = sessionOf(t.app, '');
    const known = await anybody.get(`/api/verify/${sha256}`);
    expect(known.body as VerifiedOpinion).toEqual({
      known: true,
      kind: 'opinion',
      signerName: 'First cardiologist',
      groupName: expect.any(String) as string,
      signedAt: '2026-11-25T09:30:00.000Z',
      addenda: 0,
    });
    expect(known.raw).not.toMatch(/Pebble|Ash/);
    const unknown = await anybody.get(`/api/verify/${'0'.repeat(64)}`);
    expect([unknown.status, (unknown.body as VerifiedOpinion).known]).toEqual([200, false]);
    expect((await anybody.get('/api/verify/not-a-hash')).status).toBe(400);
  });

  it('keeps the page for the keeper until a vet lets it go, once, and tells the group', async () => {
    const page = `${at}/opinions/${signedId}/keeper-page`;
    const release = `/api/practices/${d.practiceId}/referrals/${d.referralId}/opinions/${signedId}/release-keeper-page`;
    expect((await vet.get(page)).status).toBe(409);
    const early = await readPdf((await cardiologist.get(page)).bytes);
    expect(early.text).toContain('Not released by the practice yet');
    expect(early.text).toContain('To be checked');
    expect((await cardiologist.post(release, {})).status).toBe(404);
    expect((await manager.post(release, {})).status).toBe(403);
    const first = await vet.post(release, {});
    must(first);
    t.clock.set(new Date('2026-11-25T10:10:00Z'));
    expect((await vet.post(release, {})).body).toEqual(first.body);
    const pdf = await readPdf((await manager.get(page)).bytes);
    for (const words of ['For the keeper of Pebble', 'Count the breaths of Pebble asleep.', 'once a day'])
      expect(pdf.text).toContain(words);
    expect(pdf.text).toContain('Released by Vet of Ash');
    expect(pdf.text).not.toMatch(/Not released|To be checked|LVIDD|B2|SHA-256/);
    expect(pdf.nodes.map((n) => n.role)).toEqual(expect.arrayContaining(['H1', 'L', 'LI', 'LBody']));
    const seen = await caseOf(lead, d);
    expect(seen.opinions[0]).toMatchObject({
      keeperReleasedAt: '2026-11-25T09:30:00.000Z',
      keeperReleasedBy: 'Vet of Ash',
    });
    expect(seen.events.filter((e) => e.kind === 'keeper-page.released')).toHaveLength(1);
  });

  it('says on the paper and to whoever checks it that something was added later', async () => {
    const addendumId = uuidv7();
    t.clock.set(new Date('2026-11-25T15:00:00Z'));
    must(
      await cardiologist.post(`${at}/addenda`, {
        signedId: addendumId,
        text: 'The atrium was measured again.',
        password: PASSWORD,
      }),
    );
    await work();
    const [opinion, addendum] = (await caseOf(vet, d)).opinions;
    const checked = async (hash = '') =>
      (await sessionOf(t.app, '').get(`/api/verify/${hash}`)).body as VerifiedOpinion;
    expect(await checked(opinion?.sha256)).toMatchObject({ kind: 'opinion', addenda: 1 });
    expect(await checked(addendum?.sha256)).toMatchObject({ kind: 'addendum', addenda: 0 });
    const page = await readPdf((await vet.get(`${at}/opinions/${signedId}/keeper-page`)).bytes);
    expect(page.text).toContain('added to the opinion on 25 November 2026');
    const paper = await readPdf((await vet.get(`${at}/opinions/${addendumId}/pdf`)).bytes);
    expect(paper.text).toContain('Addendum to a cardiology opinion');
    expect(dense(paper.text)).toContain(`ItaddstotheopinionwithSHA-256${opinion?.sha256}`);
    // An addendum has no page for the keeper.
    expect((await vet.get(`${at}/opinions/${addendumId}/keeper-page`)).status).toBe(404);
  });

  it('still prints what was signed before these fields were there, under the hash of then', async () => {
    const oldId = uuidv7();
    const [row] = await t.admin<
      { inputs: { interpretation: unknown; document: Record<string, unknown> } }[]
    >`select inputs from signed_opinions where id = ${signedId}`;
    const { clips: _, scannedOn: __, ...rest } = row?.inputs.document ?? {};
    const text = {
      findings: { mitral: { state: 'described', text: 'Thickened leaflets of then.' } },
      conclusion: 'As it was written then.',
      stage: 'B2',
      next: 'Scan again.',
      rescan: '',
      technique: '',
    };
    const document = { ...rest, schema: 1, text };
    const canonical = canonicalText(document);
    const hash = createHash('sha256').update(canonical, 'utf8').digest('hex');
    const json = (value: unknown) => JSON.stringify(value);
    // A referral takes one opinion, so its row is an addendum's; what is painted is the document.
    await t.admin`insert into signed_opinions (practice_id, id, group_id, referral_id, kind, fields, canonical_text, sha256, signer_id, signer_name, signed_at, engine_version, inputs)
      select practice_id, ${oldId}, group_id, referral_id, 'addendum', ${json(text)}::text::jsonb, ${canonical}, ${hash}, signer_id, signer_name, signed_at, engine_version,
             ${json({ schema: 1, interpretation: row?.inputs.interpretation, document })}::text::jsonb
        from signed_opinions where id = ${signedId}`;
    await renderOpinion(t.worker, d.practiceId, oldId);
    const pdf = await readPdf((await vet.get(`${at}/opinions/${oldId}/pdf`)).bytes);
    for (const words of ['As it was written then.', 'Thickened leaflets of then.', 'Rhythm Not assessed.'])
      expect(pdf.text).toContain(words);
    expect(dense(pdf.text)).toContain(hash);
    const stored = await t.admin`select canonical_text from signed_opinions where id = ${oldId}`;
    expect(stored[0]?.['canonical_text']).toBe(canonical);
  });

  it('answers no more than thirty questions a minute from one address', async () => {
    const anybody = sessionOf(t.app, '');
    const replies = [];
    for (let n = 0; n < 40; n += 1)
      replies.push((await anybody.get(`/api/verify/${n.toString(16).padStart(64, '0')}`)).status);
    expect(new Set(replies)).toEqual(new Set([200, 429]));
  });
});
