import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { EMPTY_OPINION, EMPTY_STATE_AT_SCAN, type OpinionText, type PatientView } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { opinionDocument, pageModel, printedIndices } from '@chordae/report';
import { printedWords, sayPrintedChecks, sayPrintedFlags, sourcesOf } from '@chordae/words';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { readPdf } from '../../../../../../tests/support/pdf-text';
import type { Pictures } from './paint-frames';
import { NO_PICTURE } from './paint-frames';
import { paintPdf } from './paint-pdf';

const CLIP = '018f0000-0000-7000-8000-00000000000c';
const patient: PatientView = {
  id: '018f0000-0000-7000-8000-000000000001',
  number: 7,
  revision: 1,
  name: 'Ляля "Ö" 🐈',
  species: 'dog',
  breedCode: null,
  breedText: 'mixed',
  sex: 'female',
  neutered: true,
  birthDate: null,
  birthPrecision: null,
  chip: null,
  ageMonths: 120,
  weight: {
    id: '018f0000-0000-7000-8000-000000000002',
    weightKg: 8,
    asTyped: '8 kg',
    guessed: true,
    weighedOn: '2026-11-25',
  },
};
const interpretation = interpret({
  schema: 1,
  plan: 'small-dog-murmur',
  urgencyAsked: null,
  state: EMPTY_STATE_AT_SCAN,
  patient: {
    species: 'dog',
    breedCode: null,
    breedText: 'mixed',
    sex: 'female',
    neutered: true,
    ageMonths: 120,
    weight: { kg: 8, guessed: true },
  },
  measurements: [
    ['lvidd', 38.2],
    ['lvids', 21.5],
    ['la-sax', 24],
    ['ao-sax', 13],
  ].map(([code, value], n) => ({
    id: `m${n}`,
    code: code as 'lvidd',
    value: value as number,
    unit: 'mm' as const,
    view: null,
    method: null,
    beat: 1,
    source: 'typed' as const,
  })),
  observations: [{ id: 'o1', code: 'murmur-grade', value: '4' }],
  views: [],
});

const drawings = [
  {
    shape: 'length' as const,
    points: [
      { x: 200, y: 150 },
      { x: 420, y: 380 },
    ],
    axis: null,
    label: 'LVIDd 38.2 mm',
  },
];
const FULL: Partial<OpinionText> = {
  conclusion: 'Fits degenerative mitral valve disease; echo criteria of B2 are met.',
  stage: 'B2',
  next: 'Scan again in six months.',
  notToConclude: 'The rhythm was not recorded.',
  rescan: 'Short axis at the papillary muscles, turned a little further.',
  technique: 'Gain a little high throughout.',
  recheckOn: '2027-05-25',
  recheckFor: 'left atrium and ventricle',
  findings: { mitral: { state: 'described', proposed: null, text: 'Thickened ≥ 2 mm → prolapse.' } },
  keyFrames: [
    { id: CLIP, clipId: CLIP, frame: 11, caption: 'Largest left ventricle.', drawings },
    { id: CLIP, clipId: CLIP, frame: 20, caption: '', drawings: [] },
  ],
  clipFeedback: [{ clipId: CLIP, text: 'A small tilt would round this cut.', frame: 11, drawings: [] }],
  ownFlags: [{ id: CLIP, level: 'act-now', text: 'No anaesthesia before this was discussed.' }],
};

async function paint(
  text: Partial<OpinionText>,
  options: { hash?: string | null; kind?: 'opinion' | 'scan-report'; pictures?: Pictures } = {},
) {
  const { hash = 'a'.repeat(64), kind = 'opinion', pictures = new Map() } = options;
  const document = opinionDocument({
    kind,
    patient,
    interpretation,
    standing: [],
    flagAnswers: [],
    addsTo: null,
    signedAt: '2026-11-25T10:00:00.000Z',
    signer: { name: 'Test Reader', group: 'Test Readers' },
    scannedOn: '2026-11-24',
    clips: [{ id: CLIP, number: 3, view: 'rps-short-papillary' }],
    referral: {
      number: 3,
      practice: 'Test Practice',
      question: 'How far?',
      plan: 'small-dog-murmur',
      sentAt: '2026-11-25T09:00:00.000Z',
    },
    text: { ...EMPTY_OPINION, ...text },
  });
  const blocks = pageModel(
    {
      document,
      letterhead: { name: 'Test Readers', lines: ['1 Test Lane', 'Test Town'], demo: true },
      indices: printedIndices(interpretation),
      flagSentences: sayPrintedFlags(interpretation.flags, [], null),
      sources: sourcesOf(interpretation),
      checks: sayPrintedChecks(interpretation),
      hash,
      verifyAt: 'https://chordae.example/verify/',
    },
    printedWords,
  );
  return paintPdf(
    blocks,
    {
      title: kind === 'opinion' ? 'Cardiology opinion' : 'Scan report',
      author: 'Test Reader',
      at: new Date('2026-11-25T10:00:00Z'),
    },
    pictures,
  );
}

async function greyPictures(): Promise<Pictures> {
  const jpeg = await sharp({ create: { width: 800, height: 600, channels: 3, background: '#444444' } })
    .jpeg()
    .toBuffer();
  const picture = { jpeg, widthPx: 800, heightPx: 600 };
  return new Map([
    [`${CLIP}:11`, picture],
    [`${CLIP}:20`, picture],
  ]);
}

describe('the printed opinion', () => {
  it('takes an ordinary case on two pages, tagged, in a language, with embedded fonts', async () => {
    const bytes = await paint({ ...FULL, conclusion: 'Fits degenerative mitral valve disease.' });
    const raw = bytes.toString('latin1');
    expect(raw.startsWith('%PDF-1.7')).toBe(true);
    for (const mark of ['/Lang (en-GB)', '/FontFile2', '/DisplayDocTitle true'])
      expect(raw, mark).toContain(mark);
    const pdf = await readPdf(bytes);
    expect(pdf.pages).toHaveLength(2);
    expect(pdf.marked).toBe(true);
    expect(pdf.info['Title']).toBe('Cardiology opinion');
    const roles = pdf.nodes.map((n) => n.role);
    expect(roles.filter((r) => r === 'H1')).toHaveLength(1);
    for (const role of ['H2', 'P', 'Table', 'TR', 'TH', 'TD', 'Figure']) expect(roles).toContain(role);
  });

  it('says what cannot wait, then the conclusion, then the rest, and how the signature is checked', async () => {
    const { text } = await readPdf(await paint({ ...FULL, conclusion: 'Fits mitral disease.' }));
    const order = [
      'No anaesthesia before this was discussed.',
      'Fits mitral disease.',
      'Scan again in six months.',
      '25 May 2027: left atrium and ventricle',
      'The rhythm was not recorded.',
      'Findings',
      'Thickened ≥ 2 mm → prolapse.',
      'Numbers on their limits',
      'Largest left ventricle.',
      'On technique',
      'A small tilt would round this cut.',
      'Signed by Test Reader, Test Readers',
    ].map((words) => text.indexOf(words));
    expect(order.every((at) => at >= 0)).toBe(true);
    expect([...order].sort((a, b) => a - b)).toEqual(order);
    expect(text).toContain('Right heart Not assessed.');
    expect(text.replace(/ /g, '')).toContain(`https://chordae.example/verify/${'a'.repeat(64)}`);
  });

  it('prints the pictures with their lines and what they show in words, and says where one is not there', async () => {
    const withPictures = await paint(FULL, { pictures: await greyPictures() });
    const folder = process.env['CHORDAE_SHOTS'];
    if (folder) writeFileSync(path.join(folder, 'opinion.pdf'), withPictures);
    const pdf = await readPdf(withPictures);
    const alts = pdf.nodes.filter((n) => n.role === 'Figure').map((n) => n.alt ?? '');
    expect(alts.every((alt) => alt.length > 10)).toBe(true);
    // Nothing is drawn that a screen reader is not told of, or told to pass over.
    expect(pdf.untagged).toBe(0);
    expect(alts).toContainEqual(
      'Clip 3, right parasternal short axis, papillary muscles, frame 12. Largest left ventricle. drawn: LVIDd 38.2 mm',
    );
    expect(pdf.text).toContain('LVIDd 38.2 mm');
    expect(pdf.text).not.toContain(NO_PICTURE);
    expect((await readPdf(await paint(FULL))).text).toContain(NO_PICTURE);
  });

  it('marks a draft on every page, and gives it no hash to be checked', async () => {
    const draft = await readPdf(await paint({ ...FULL, conclusion: 'x' }, { hash: null }));
    for (const page of draft.pages) expect(page).toContain('Draft, not signed');
    expect(draft.text).not.toContain('SHA-256');
    expect(draft.text).not.toContain('Signed by');
  });

  it("titles a sonographer's own report so, and says that it is no specialist opinion", async () => {
    const { text } = await readPdf(await paint({ conclusion: 'x' }, { kind: 'scan-report' }));
    expect(text).toContain('Scan report by a sonographer');
    expect(text).toContain('It is not a specialist opinion.');
    expect(text).not.toContain('Cardiology opinion');
  });

  it('gives the same bytes again on the same machine', async () => {
    const hash = async () =>
      createHash('sha256')
        .update(await paint(FULL))
        .digest('hex');
    expect(await hash()).toBe(await hash());
  });

  it('takes the longest text, other scripts and emoji, flowing on without losing a word or running off a page', async () => {
    const words = Array.from({ length: 160 }, (_, n) => `Слово${n} 🐕 ≥ µ²`)
      .join(' ')
      .slice(0, 2000);
    const long = {
      ...FULL,
      conclusion: `${words} ${words}`.slice(0, 3990) + ' theend1',
      next: 'y'.repeat(600) + ' theend2',
      notToConclude: `${words.slice(0, 1900)} theend3`,
      findings: Object.fromEntries(
        ['left-ventricle', 'rhythm'].map((s) => [
          s,
          { state: 'described' as const, proposed: null, text: `${words.slice(0, 1900)} theend-${s}` },
        ]),
      ),
    };
    const pdf = await readPdf(await paint(long));
    expect(pdf.pages.length).toBeGreaterThan(3);
    expect(pdf.pages.length).toBeLessThan(9);
    for (const end of ['theend1', 'theend2', 'theend3', 'theend-left-ventricle', 'theend-rhythm'])
      expect(pdf.text, end).toContain(end);
    for (const { low, high, left } of pdf.reach) {
      expect(low).toBeGreaterThan(20);
      expect(high).toBeLessThan(842 - 30);
      expect(left).toBeGreaterThanOrEqual(55);
    }
  });
});
