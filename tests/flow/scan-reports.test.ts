import { createHash } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import {
  type CaseView,
  EMPTY_REPORT,
  type Me,
  type ReportText,
  type VerifiedOpinion,
} from '@chordae/contract';
import { caseInput, numbersHashOf } from '@chordae/interpretation';
import { canonicalText } from '@chordae/report';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { jobTable } from '../../apps/api/src/worker';
import { localPages } from '../../apps/portal/src/pages/report/local-pages';
import { madeDicom } from '../support/made-dicom';
import { readPdf } from '../support/pdf-text';
import { startTestApp, type TestApp, uuidv7, workOff } from '../support/test-app';
import { uploadFile } from '../support/upload';
import {
  caseOf,
  makeWorld,
  type OpenedReferral,
  observe,
  openDraft,
  PASSWORD,
  type Session,
  sessionOf,
  signIn,
  typeMeasurement,
  type World,
} from '../support/world';

/** A sonographer's own reports, from the first word to the desk of the cardiologist who is asked afterwards. */
let t: TestApp;
let world: World;
let base: string;
let vet: Session;
let vetB: Session;
let manager: Session;
let sonographer: Session;
let cardiologist: Session;
const work = () => workOff(t, jobTable(t.worker) as never);
const must = (r: { status: number; raw: string }) => {
  expect(r.raw === '' ? r.status : `${r.status} ${r.raw.slice(0, 300)}`).toMatch(/^200/);
};
const dense = (text: string) => text.replace(/\s+/g, '');

beforeAll(async () => {
  t = await startTestApp({ CHORDAE_PUBLIC_URL: 'https://chordae.example' });
  await t.app.listen({ host: '127.0.0.1', port: 0 });
  base = `http://127.0.0.1:${(t.app.server.address() as AddressInfo).port}`;
  world = await makeWorld(t.admin);
  const { people } = world;
  [vet, vetB, manager, sonographer, cardiologist] = (await Promise.all(
    [people.vetA, people.vetB, people.managerA, people.sonographer, people.cardiologist].map((p) =>
      signIn(t.app, p.email),
    ),
  )) as [Session, Session, Session, Session, Session];
  const head = {
    schema: 1,
    lines: ['7 Invented Lane', 'scans@ash.example'],
    footer: 'Registered as example 12',
  };
  await t.admin`update practices set letterhead = ${JSON.stringify(head)}::text::jsonb, phone = '+353 1 000 0077' where id = ${world.practiceA}`;
}, 120_000);
afterAll(async () => t.close());

/** A scan of practice A that nobody is asked about: no reading group. */
async function openScan(by: Session = sonographer): Promise<OpenedReferral> {
  const d = await openDraft(by, world, world.practiceA);
  must(await by.patch(d.base, { base: 1, fields: { groupId: null, question: 'Large heart?' } }));
  return d;
}

const TEXT: ReportText = {
  ...EMPTY_REPORT,
  findings: { mitral: { state: 'described', text: 'Leaflets look thick.', proposed: null } },
  conclusion: 'Left ventricle above the limit that is named below.',
  next: 'Ask a cardiologist within the week.',
  notToConclude: 'The right heart was not scanned.',
  recheckOn: '2027-02-20',
  recheckFor: 'left ventricle',
};

const write = async (d: OpenedReferral, fields: Partial<ReportText>, by = sonographer) => {
  const draft = (await caseOf(by, d)).report.draft;
  const body = { base: draft?.revision ?? 1, draftId: draft?.id ?? uuidv7(), fields };
  must(await by.patch(`${d.base}/report`, body));
};

const numbersOf = (c: CaseView) =>
  numbersHashOf(
    caseInput({
      patient: c.patient,
      plan: c.referral.plan,
      urgencyAsked: c.referral.urgencyAsked,
      scans: c.scans,
      measurements: c.measurements,
      observations: c.observations,
      clips: c.clips,
      statements: c.statements,
    }),
  );

/** What the page would send now. */
async function asked(d: OpenedReferral, more: Record<string, unknown> = {}, by = sonographer) {
  const c = await caseOf(by, d);
  const {
    id: _id,
    revision,
    updatedAt: _at,
    ...fields
  } = c.report.draft ?? {
    ...EMPTY_REPORT,
    id: '',
    revision: 1,
    updatedAt: '',
  };
  return {
    base: c.referral.revision,
    draftRevision: revision,
    fields,
    inputHash: numbersOf(c),
    signedId: uuidv7(),
    deviceSignedAt: null,
    password: PASSWORD,
    ...more,
  };
}

const eventKinds = async (d: OpenedReferral) =>
  (
    await t.admin<
      { kind: string }[]
    >`select kind from events where referral_id = ${d.referralId} order by seq`
  ).map((e) => e.kind);

describe('a report is written', () => {
  it('by who scans at this practice, and its first patch makes the draft', async () => {
    const d = await openScan();
    const draftId = uuidv7();
    const first = { base: 1, draftId, fields: { conclusion: 'First.' } };
    must(await sonographer.patch(`${d.base}/report`, first));
    // The same patch again, as after a lost reply, changes nothing.
    const again = await sonographer.patch(`${d.base}/report`, first);
    expect(again.body).toMatchObject({ revision: 2, applied: [], conflicts: [] });
    expect((await caseOf(sonographer, d)).report.draft).toMatchObject({
      id: draftId,
      revision: 2,
      conclusion: 'First.',
      findings: {},
    });
    // Somebody else's older text does not overwrite it: both come back.
    const other = await vet.patch(`${d.base}/report`, {
      ...first,
      draftId: uuidv7(),
      fields: { conclusion: 'Mine.' },
    });
    expect(other.body).toMatchObject({
      applied: [],
      conflicts: [{ field: 'conclusion', yours: 'Mine.', theirs: 'First.', by: 'Sonographer of both' }],
    });
    expect((await manager.patch(`${d.base}/report`, first)).status).toBe(403);
    expect((await vetB.patch(`${d.base}/report`, first)).status).toBe(404);
    expect((await cardiologist.patch(`${d.base}/report`, first)).status).toBe(404);
  });

  it('and refuses a draft id that another case has', async () => {
    const [one, two] = [await openScan(), await openScan()];
    const draftId = uuidv7();
    must(await sonographer.patch(`${one.base}/report`, { base: 1, draftId, fields: { next: 'x' } }));
    const taken = await sonographer.patch(`${two.base}/report`, { base: 1, draftId, fields: { next: 'y' } });
    expect(taken.body).toMatchObject({ code: 'ID_IN_USE', field: 'draftId' });
    expect((await caseOf(sonographer, two)).report.draft).toBeNull();
  });
});

describe('signing', () => {
  it('takes exactly what was seen, once, and is told to the practice but not to who signed', async () => {
    const d = await openScan();
    await typeMeasurement(sonographer, d, 'lvidd', 38.2);
    await write(d, TEXT);
    const ask = await asked(d);
    expect(
      (await sonographer.post(`${d.base}/report/sign`, { ...ask, password: 'wrong' })).body,
    ).toMatchObject({
      code: 'PASSWORD_WRONG',
    });
    // Twice at once, as after a cut line: one signature.
    const both = await Promise.all([1, 2].map(() => sonographer.post(`${d.base}/report/sign`, ask)));
    for (const reply of both) must(reply);
    expect(both[0]?.raw).toBe(both[1]?.raw);
    const rows = await t.admin`select id from signed_reports where referral_id = ${d.referralId}`;
    expect(rows).toHaveLength(1);
    const c = await caseOf(vet, d);
    expect(c.referral).toMatchObject({ state: 'reported', groupId: null, groupName: '' });
    expect(c.report.signed).toMatchObject([
      {
        id: ask.signedId,
        kind: 'report',
        text: TEXT,
        signerName: 'Sonographer of both',
        deviceSignedAt: null,
      },
    ]);
    // Another id signs no second report, and the id signs no other text.
    const second = await sonographer.post(`${d.base}/report/sign`, { ...ask, signedId: uuidv7() });
    expect(second.body).toMatchObject({ code: 'STATE_CHANGED' });
    const other = { ...ask, fields: { ...ask.fields, conclusion: 'Other.' } };
    expect((await sonographer.post(`${d.base}/report/sign`, other)).body).toMatchObject({
      code: 'ID_IN_USE',
    });
    await work();
    const mails = await t.admin<{ to_email: string; subject: string; body: string }[]>`
      select to_email, subject, body from mails where referral_id = ${d.referralId}`;
    expect(mails.map((m) => m.to_email)).toEqual([world.people.vetA.email]);
    expect(mails[0]?.subject).toContain('Scan report signed: Pebble');
    expect(mails[0]?.body).toContain(`/p/${d.practiceId}/r/${d.referralId}/report`);
    // A mail says that something is there, never what.
    expect(mails[0]?.body).not.toContain('ventricle');
    const writing = await sonographer.patch(`${d.base}/report`, {
      base: 1,
      draftId: uuidv7(),
      fields: { next: 'x' },
    });
    expect(writing.body).toMatchObject({ code: 'STATE_CHANGED' });
    const late = await typeMeasurement(sonographer, d, 'lvidd', 41);
    expect(late.status).toBe(409);
  });

  it('is refused when a number changed since, with a sentence, and taken once it was seen', async () => {
    const d = await openScan();
    await write(d, { conclusion: 'On the first number.' });
    await typeMeasurement(sonographer, d, 'lvidd', 30.1);
    const ask = await asked(d);
    expect((await typeMeasurement(vet, d, 'lvids', 20.4)).status).toBe(200);
    const refused = await sonographer.post(`${d.base}/report/sign`, ask);
    expect(refused.status).toBe(412);
    expect(refused.body).toMatchObject({ code: 'REVISION_STALE', details: { what: 'numbers' } });
    expect((refused.body as { message: string }).message).toMatch(
      /^Numbers of this case changed.*Nothing was signed/,
    );
    must(await sonographer.post(`${d.base}/report/sign`, await asked(d)));
  });

  it('is refused when the weight changed since: every index rests on it', async () => {
    const d = await openScan();
    await write(d, { conclusion: 'x' });
    const ask = await asked(d);
    const weight = { weightKg: 9.9, asTyped: '9.9 kg', guessed: false, weighedOn: '2026-11-25' };
    must(await vet.put(`/api/practices/${d.practiceId}/patients/${d.patientId}/weights/${uuidv7()}`, weight));
    expect((await sonographer.post(`${d.base}/report/sign`, ask)).body).toMatchObject({
      code: 'REVISION_STALE',
      details: { what: 'numbers' },
    });
  });

  it('is refused when the stored text differs from the signed one, and names the field', async () => {
    const d = await openScan();
    await write(d, { conclusion: 'What I read.' });
    const ask = await asked(d);
    await write(d, { next: 'Somebody else wrote this.' }, vet);
    const refused = await sonographer.post(`${d.base}/report/sign`, ask);
    expect(refused.body).toMatchObject({
      code: 'REVISION_STALE',
      details: { what: 'text', fields: ['next'], yours: 2, now: 3 },
    });
    expect((refused.body as { message: string }).message).toContain('what to do next');
    expect((await caseOf(sonographer, d)).report.signed).toEqual([]);
  });

  it('is refused when somebody else changed the question, not when the signer did', async () => {
    const d = await openScan();
    await write(d, { conclusion: 'x' });
    const ask = await asked(d);
    must(await sonographer.patch(d.base, { base: ask.base, fields: { question: 'My own words, later.' } }));
    must(await vet.patch(d.base, { base: ask.base, fields: { history: 'Fainted twice.' } }));
    expect((await sonographer.post(`${d.base}/report/sign`, ask)).body).toMatchObject({
      code: 'REVISION_STALE',
      details: { what: 'question', fields: ['history'] },
    });
    const own = await openScan();
    await write(own, { conclusion: 'x' });
    const before = await asked(own);
    must(
      await sonographer.patch(own.base, { base: before.base, fields: { question: 'My own words, later.' } }),
    );
    must(await sonographer.post(`${own.base}/report/sign`, before));
  });

  it('takes a report signed on a device days ago: the clips may have come since, the device’s time stands beside', async () => {
    const d = await openScan();
    await typeMeasurement(sonographer, d, 'lvidd', 31.3);
    await write(d, { conclusion: 'Written in a barn without a network.' });
    const ask = await asked(d, { deviceSignedAt: '2026-11-22T17:04:00.000Z' });
    await uploadFile(sonographer, base, d, 'late.dcm', madeDicom({ frames: 2, seed: 5 }));
    await work();
    const clipId = (await caseOf(sonographer, d)).clips[0]?.id ?? '';
    must(
      await sonographer.patch(`/api/practices/${d.practiceId}/clips/${clipId}`, {
        view: 'rps-short-papillary',
      }),
    );
    must(await sonographer.post(`${d.base}/report/sign`, ask));
    await work();
    const signed = (await caseOf(vet, d)).report.signed[0];
    expect(signed).toMatchObject({
      deviceSignedAt: '2026-11-22T17:04:00.000Z',
      signedAt: '2026-11-25T09:30:00.000Z',
    });
    const paper = await vet.get(`/api/cases/${d.practiceId}/${d.referralId}/reports/${signed?.id}/pdf`);
    const pdf = await readPdf(paper.bytes);
    expect(pdf.text).toContain(
      '25 November 2026, 09:30 UTC. Signed on a device at 22 November 2026, 17:04 UTC',
    );
  });

  it('waits for an answer to each act-now flag, and for a reason where one is set aside', async () => {
    const d = await openScan();
    await observe(sonographer, d, 'collapse', 'yes');
    await observe(sonographer, d, 'weak-pulses-or-pale', 'yes');
    await work();
    const flag = (await caseOf(sonographer, d)).interpretation?.flags.find((f) => f.level === 'act-now');
    if (!flag) throw new Error('collapse with weak pulses raises no flag');
    await write(d, { conclusion: 'x' });
    const open = await sonographer.post(`${d.base}/report/sign`, await asked(d));
    expect(open.body).toMatchObject({ code: 'FLAG_UNANSWERED', details: { flagKeys: [flag.key] } });
    await write(d, { flagAnswers: [{ flagKey: flag.key, answer: 'set-aside', reason: ' ' }] });
    expect((await sonographer.post(`${d.base}/report/sign`, await asked(d))).body).toMatchObject({
      code: 'FIELD_INVALID',
      field: 'flagAnswers',
    });
    await write(d, { flagAnswers: [{ flagKey: flag.key, answer: 'passed-up', reason: 'By telephone.' }] });
    const ask = await asked(d);
    must(await sonographer.post(`${d.base}/report/sign`, ask));
    await work();
    const paper = await vet.get(`/api/cases/${d.practiceId}/${d.referralId}/reports/${ask.signedId}/pdf`);
    const pdf = await readPdf(paper.bytes);
    expect(pdf.text).toContain('Passed up by who scanned: a cardiologist is to be asked. By telephone.');
    expect(pdf.text.indexOf('Act now')).toBeLessThan(pdf.text.indexOf('Conclusion'));
  });

  it('needs a conclusion', async () => {
    const d = await openScan();
    await write(d, { next: 'x' });
    expect((await sonographer.post(`${d.base}/report/sign`, await asked(d))).body).toMatchObject({
      code: 'FIELD_INVALID',
      field: 'conclusion',
    });
  });
});

describe.sequential('the paper', () => {
  let d: OpenedReferral;
  let clipId: string;
  const signedId = uuidv7();
  beforeAll(async () => {
    d = await openScan();
    await typeMeasurement(sonographer, d, 'lvidd', 38.2);
    await uploadFile(sonographer, base, d, 'clip.dcm', madeDicom({ frames: 3, seed: 9 }));
    await work();
    clipId = (await caseOf(sonographer, d)).clips[0]?.id ?? '';
    const frame = { id: uuidv7(), clipId, frame: 1, caption: 'Widest ventricle.', drawings: [] };
    await write(d, { ...TEXT, keyFrames: [frame] });
  }, 60_000);

  it('is shown before signing as it would be, marked as not signed and as no specialist’s', async () => {
    const shown = await sonographer.get(`${d.base}/report/preview`);
    expect(shown.headers['cache-control']).toContain('no-store');
    const pdf = await readPdf(shown.bytes);
    for (const words of [
      'Test Practice Ash',
      '7 Invented Lane',
      '+353 1 000 0077',
      'scans@ash.example',
      'Registered as example 12',
      'Scan report by a sonographer',
      'It is not a specialist opinion.',
      'Draft, not signed',
      'Widest ventricle.',
    ])
      expect(pdf.text).toContain(words);
    expect(pdf.text).not.toContain('Cardiology opinion');
    expect(pdf.text).not.toContain('SHA-256');
    const asBlocks = await sonographer.call('GET', `${d.base}/report/preview`, undefined, {
      accept: 'application/json',
    });
    const { blocks } = asBlocks.body as { blocks: { kind: string; note?: string }[] };
    expect(blocks.find((b) => b.kind === 'title')?.note).toContain('not a specialist opinion');
    // A device without a network makes the same pages, letterhead and all: it goes along with who one is.
    const c = await caseOf(sonographer, d);
    const signer = { name: 'Sonographer of both', role: 'sonographer' as const, demo: false };
    const me = (await sonographer.get('/api/me')).body as Me;
    const paper = me.organisations.find((o) => o.id === d.practiceId)?.paper;
    if (!paper) throw new Error('nothing is known of the practice');
    expect([...paper.lines, paper.footer].join()).toContain('Registered');
    const local = localPages(c, (await asked(d)).fields, signer, paper, '2026-11-25T09:30:00.000Z');
    expect(JSON.parse(JSON.stringify(local))).toEqual(blocks);
    expect((await manager.get(`${d.base}/report/preview`)).status).toBe(403);
    // The picture on the page is the printed one: the strip that may hold a name is covered, which the practice's own is not.
    const frameAt = `/api/cases/${d.practiceId}/${d.referralId}/clips/${clipId}/frames/1`;
    const strip = async (url: string) =>
      sharp((await sonographer.get(url)).bytes)
        .extract({ left: 0, top: 0, width: 64, height: 6 })
        .greyscale()
        .raw()
        .toBuffer();
    expect(Math.max(...(await strip(`${frameAt}?as=paper`)))).toBe(0);
    expect(Math.min(...(await strip(frameAt)))).toBe(255);
    expect((await vetB.get(`${d.base}/report/preview`)).status).toBe(404);
  });

  it('carries the practice’s head, what was signed and its hash, which anybody may check', async () => {
    must(await sonographer.post(`${d.base}/report/sign`, await asked(d, { signedId })));
    await work();
    const at = `/api/cases/${d.practiceId}/${d.referralId}/reports/${signedId}/pdf`;
    const paper = await manager.get(at);
    expect(paper.headers['content-disposition']).toMatch(/scan-report-[0-9a-f]{8}\.pdf/);
    const pdf = await readPdf(paper.bytes);
    const signed = (await caseOf(vet, d)).report.signed[0];
    for (const words of Object.values(TEXT).filter((v) => typeof v === 'string' && !v.startsWith('2027')))
      expect(dense(pdf.text)).toContain(dense(words as string));
    expect(pdf.text).toContain('Signed by Sonographer of both for Test Practice Ash');
    expect(pdf.text).toContain('no cardiologist read it before it was signed');
    expect(String(pdf.info['Title'])).toContain('no specialist opinion');
    expect(dense(pdf.text)).toContain(`https://chordae.example/verify/${signed?.sha256}`);
    expect(pdf.text).not.toContain('Draft, not signed');
    const stored = await t.admin<{ canonical_text: string }[]>`
      select canonical_text from signed_reports where id = ${signedId}`;
    const text = stored[0]?.canonical_text ?? '';
    expect(createHash('sha256').update(text, 'utf8').digest('hex')).toBe(signed?.sha256);
    const document = JSON.parse(text) as Record<string, unknown>;
    expect(canonicalText(document)).toBe(text);
    expect(document).toMatchObject({
      kind: 'scan-report',
      signer: { name: 'Sonographer of both', group: 'Test Practice Ash', role: 'sonographer' },
      measurements: [{ code: 'lvidd', value: 38.2 }],
    });
    const verified = await sessionOf(t.app, '').get(`/api/verify/${signed?.sha256}`);
    expect(verified.body as VerifiedOpinion).toEqual({
      known: true,
      kind: 'scan-report',
      signerName: 'Sonographer of both',
      groupName: 'Test Practice Ash',
      signedAt: '2026-11-25T09:30:00.000Z',
      addenda: 0,
    });
    expect((await vetB.get(at)).status).toBe(404);
    expect((await cardiologist.get(at)).status).toBe(404);
  });

  it('cannot be changed behind the scenes, only opened to a group', async () => {
    await expect(t.admin`update signed_reports set fields = '{}' where id = ${signedId}`).rejects.toThrow(
      /append-only/,
    );
    await expect(t.admin`delete from signed_reports where id = ${signedId}`).rejects.toThrow(/append-only/);
  });

  it('is added to by who signed it, and the check says so', async () => {
    const ask = {
      signedId: uuidv7(),
      text: 'The atrium was measured again.',
      deviceSignedAt: null,
      password: PASSWORD,
    };
    const refused = await vet.post(`${d.base}/report/addenda`, ask);
    expect(refused.body).toMatchObject({ code: 'ROLE_MISSING' });
    t.clock.set(new Date('2026-11-25T10:00:00Z'));
    must(await sonographer.post(`${d.base}/report/addenda`, ask));
    must(await sonographer.post(`${d.base}/report/addenda`, ask));
    await work();
    const { signed } = (await caseOf(vet, d)).report;
    expect(signed.map((s) => s.kind)).toEqual(['report', 'addendum']);
    const at = `/api/cases/${d.practiceId}/${d.referralId}/reports/${ask.signedId}/pdf`;
    const pdf = await readPdf((await vet.get(at)).bytes);
    expect(pdf.text).toContain('Addendum to a scan report by a sonographer');
    expect(dense(pdf.text)).toContain(dense(`It adds to the scan report with SHA-256 ${signed[0]?.sha256}`));
    const open = sessionOf(t.app, '');
    expect((await open.get(`/api/verify/${signed[0]?.sha256}`)).body).toMatchObject({ addenda: 1 });
    expect((await open.get(`/api/verify/${signed[1]?.sha256}`)).body).toMatchObject({
      kind: 'scan-report-addendum',
      addenda: 0,
    });
  });

  it('puts its recheck on the practice’s list', async () => {
    const due = (await vet.get(`/api/practices/${d.practiceId}/rechecks`)).body as { referralId: string }[];
    expect(due.find((r) => r.referralId === d.referralId)).toMatchObject({
      dueOn: '2027-02-20',
      what: 'left ventricle',
    });
  });
});

describe.sequential('the practice reads, asks back and files', () => {
  let d: OpenedReferral;
  beforeAll(async () => {
    d = await openScan();
    await write(d, TEXT);
  });

  it('asks nothing and files nothing before it is signed', async () => {
    const early = await vet.put(`${d.base}/report/messages/${uuidv7()}`, { text: 'What?' });
    expect(early.body).toMatchObject({ code: 'STATE_CHANGED' });
    const base = (await caseOf(vet, d)).referral.revision;
    expect((await vet.post(`${d.base}/report/file`, { base })).body).toMatchObject({
      code: 'TRANSITION_REFUSED',
    });
    must(await sonographer.post(`${d.base}/report/sign`, await asked(d)));
    await work();
  });

  it('tells the signer of a question and the practice of the answer', async () => {
    const question = uuidv7();
    must(await vet.put(`${d.base}/report/messages/${question}`, { text: 'Which side did you scan from?' }));
    must(await vet.put(`${d.base}/report/messages/${question}`, { text: 'Which side did you scan from?' }));
    const other = await vet.put(`${d.base}/report/messages/${question}`, { text: 'Something else' });
    expect(other.body).toMatchObject({ code: 'ID_IN_USE' });
    must(await sonographer.put(`${d.base}/report/messages/${uuidv7()}`, { text: 'From the right.' }));
    must(await manager.put(`${d.base}/report/messages/${uuidv7()}`, { text: 'Thank you.' }));
    await work();
    expect((await caseOf(vet, d)).report.thread.map((m) => [m.side, m.text])).toEqual([
      ['practice', 'Which side did you scan from?'],
      ['sonographer', 'From the right.'],
      ['practice', 'Thank you.'],
    ]);
    const rows = (await sonographer.get(`/api/practices/${d.practiceId}/referrals?state=reported`)).body as {
      id: string;
    }[];
    expect(rows.find((r) => r.id === d.referralId)).toMatchObject({ reportTalk: 'practice' });
    const mails = await t.admin<{ to_email: string; reason: string }[]>`
      select to_email, split_part(reason, ':', 1) as reason from mails
       where referral_id = ${d.referralId} order by created_at, reason, to_email`;
    const to = (reason: string) => mails.filter((m) => m.reason === reason).map((m) => m.to_email);
    expect(to('report-question')).toEqual([world.people.sonographer.email, world.people.sonographer.email]);
    expect(to('report-answer')).toEqual([world.people.vetA.email]);
  });

  it('files it, once; the sonographer cannot', async () => {
    const base = (await caseOf(vet, d)).referral.revision;
    expect((await sonographer.post(`${d.base}/report/file`, { base })).status).toBe(403);
    must(await manager.post(`${d.base}/report/file`, { base }));
    must(await manager.post(`${d.base}/report/file`, { base }));
    const c = await caseOf(vet, d);
    expect(c.referral.state).toBe('filed');
    const kinds = await eventKinds(d);
    expect(kinds.filter((k) => k === 'report.filed')).toHaveLength(1);
    expect(kinds).toEqual(
      expect.arrayContaining(['report.begun', 'report.signed', 'report.asked', 'report.answered']),
    );
    const rows = (await vet.get(`/api/practices/${d.practiceId}/referrals?state=filed`)).body as {
      id: string;
      groupName: string;
    }[];
    expect(rows.find((r) => r.id === d.referralId)).toMatchObject({ groupName: '' });
  });
});

describe.sequential('a cardiologist is asked', () => {
  let d: OpenedReferral;
  let clipId: string;
  const signedId = uuidv7();
  const question = 'Is this enlarged enough to treat?';

  it('and everything of the scan goes along: clips, numbers, the signed report', async () => {
    d = await openScan();
    await typeMeasurement(sonographer, d, 'lvidd', 38.2);
    await uploadFile(sonographer, base, d, 'clip.dcm', madeDicom({ frames: 2, seed: 23 }));
    await work();
    clipId = (await caseOf(sonographer, d)).clips[0]?.id ?? '';
    const keeper = { name: 'Keeper Zebedee Unmistakable', phone: '', email: '' };
    must(await vet.put(`/api/practices/${d.practiceId}/patients/${d.patientId}/keeper`, keeper));
    await write(d, TEXT);
    must(await sonographer.post(`${d.base}/report/sign`, await asked(d, { signedId })));
    await work();
    must(
      await vet.put(`${d.base}/report/messages/${uuidv7()}`, {
        text: 'Unmistakable question of the practice',
      }),
    );
    const before = await caseOf(sonographer, d);
    const refused = await sonographer.post(`${d.base}/send`, {
      base: before.referral.revision,
      identityReason: null,
    });
    expect(refused.body).toMatchObject({
      code: 'NOT_READY',
      details: { blocker: 'GROUP_MISSING' },
      field: 'groupId',
    });
    expect((await cardiologist.get(`/api/cases/${d.practiceId}/${d.referralId}`)).status).toBe(404);
    must(
      await sonographer.patch(d.base, {
        base: before.referral.revision,
        fields: { groupId: world.group, question },
      }),
    );
    const now = await caseOf(sonographer, d);
    must(
      await sonographer.post(`${d.base}/send`, {
        base: now.referral.revision,
        identityReason: 'The machine writes the surname first.',
      }),
    );
    await work();
    const sent = await caseOf(vet, d);
    expect(sent.referral).toMatchObject({ state: 'sent', groupId: world.group, question });
    expect(sent.clips.map((c) => c.id)).toEqual([clipId]);
    expect(sent.measurements).toHaveLength(1);
    expect(sent.report.signed).toHaveLength(1);
    expect(sent.report.thread).toHaveLength(1);
  });

  it('who sees what was signed and its paper, never draft, thread or keeper', async () => {
    const c = await caseOf(cardiologist, d);
    expect(c.report.signed).toMatchObject([{ id: signedId, text: TEXT, signerName: 'Sonographer of both' }]);
    expect(c.report.draft).toBeNull();
    expect(c.report.thread).toEqual([]);
    const all = JSON.stringify(c);
    expect(all).not.toContain('Unmistakable');
    expect(c.events.some((e) => e.kind === 'report.asked')).toBe(false);
    const paper = await cardiologist.get(
      `/api/cases/${d.practiceId}/${d.referralId}/reports/${signedId}/pdf`,
    );
    expect((await readPdf(paper.bytes)).text).toContain('Scan report by a sonographer');
    const asGroup = await cardiologist.put(`${d.base}/report/messages/${uuidv7()}`, { text: 'x' });
    expect(asGroup.status).toBe(404);
  });

  it('and an addendum after sending reaches the group as well', async () => {
    const ask = {
      signedId: uuidv7(),
      text: 'Said by telephone since.',
      deviceSignedAt: null,
      password: PASSWORD,
    };
    must(await sonographer.post(`${d.base}/report/addenda`, ask));
    await work();
    const { signed } = (await caseOf(cardiologist, d)).report;
    expect(signed.map((s) => s.kind)).toEqual(['report', 'addendum']);
    expect(signed[1]?.pdfSha256).toMatch(/^[0-9a-f]{64}$/);
  });

  it('and a blind second reader keeps the sonographer’s report, since it is the sender’s', async () => {
    must(
      await cardiologist.post(`/api/cases/${d.practiceId}/${d.referralId}/take`, {
        base: (await caseOf(cardiologist, d)).referral.revision,
      }),
    );
    const second = await signIn(t.app, world.people.secondCardiologist.email);
    must(await second.put(`/api/cases/${d.practiceId}/${d.referralId}/second-reads/${uuidv7()}`, {}));
    const blind = await caseOf(second, d);
    expect(blind.interpretation).toBeNull();
    expect(blind.report.signed[0]?.id).toBe(signedId);
  });
});

describe('the table of states', () => {
  it('lets a draft, a reported and a filed case be sent, and nothing else be reported or filed', async () => {
    for (const upTo of ['draft', 'reported', 'filed'] as const) {
      const d = await openScan();
      await typeMeasurement(sonographer, d, 'lvidd', 33);
      await write(d, { conclusion: 'x' });
      if (upTo !== 'draft') must(await sonographer.post(`${d.base}/report/sign`, await asked(d)));
      const revision = async () => (await caseOf(vet, d)).referral.revision;
      if (upTo === 'filed') must(await vet.post(`${d.base}/report/file`, { base: await revision() }));
      must(await sonographer.patch(d.base, { base: await revision(), fields: { groupId: world.group } }));
      must(await sonographer.post(`${d.base}/send`, { base: await revision(), identityReason: null }));
      expect((await caseOf(vet, d)).referral.state).toBe('sent');
      const sign = await sonographer.post(`${d.base}/report/sign`, await asked(d));
      expect(sign.body).toMatchObject({ code: 'STATE_CHANGED' });
      const file = await vet.post(`${d.base}/report/file`, { base: await revision() });
      expect(file.body).toMatchObject({ code: 'TRANSITION_REFUSED' });
      // A report that was never signed does not go along: its draft is the practice's.
      expect((await caseOf(cardiologist, d)).report).toEqual({
        draft: null,
        thread: [],
        signed: upTo === 'draft' ? [] : [expect.objectContaining({ kind: 'report' })],
      });
    }
  });

  it('lets the other practice of the same sonographer see nothing of it', async () => {
    const d = await openScan();
    await write(d, TEXT);
    const ask = await asked(d);
    must(await sonographer.post(`${d.base}/report/sign`, ask));
    await work();
    for (const path of ['report/sign', 'report/addenda', 'report/file'])
      expect(
        (
          await vetB.post(
            `${d.base}/${path}`,
            path === 'report/sign'
              ? ask
              : { base: 1, signedId: uuidv7(), text: 'x', deviceSignedAt: null, password: PASSWORD },
          )
        ).status,
      ).toBe(404);
    expect((await vetB.get(`/api/cases/${d.practiceId}/${d.referralId}`)).status).toBe(404);
    // The sonographer is of both practices; the case is of one: it is not found under the other.
    const wrong = `/api/practices/${world.practiceB}/referrals/${d.referralId}/report`;
    expect(
      (await sonographer.patch(wrong, { base: 1, draftId: uuidv7(), fields: { next: 'x' } })).status,
    ).toBe(404);
    expect((await sonographer.post(`${wrong}/sign`, ask)).status).toBe(404);
  });
});
