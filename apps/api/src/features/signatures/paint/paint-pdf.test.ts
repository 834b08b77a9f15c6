import { EMPTY_STATE_AT_SCAN, type PatientView } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { opinionDocument, pageModel, printedIndices } from '@chordae/report';
import { describe, expect, it } from 'vitest';
import { pageWords, sayFlagsFor, sourcesOf } from './page-words';
import { paintPdf } from './paint-pdf';

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

async function paint(conclusion: string): Promise<{ bytes: Buffer; text: string; pages: number }> {
  const document = opinionDocument({
    kind: 'opinion',
    patient,
    interpretation,
    standing: [],
    flagAnswers: [],
    addsTo: null,
    signedAt: '2026-11-25T10:00:00.000Z',
    signer: { name: 'Test Reader', group: 'Test Readers' },
    referral: {
      number: 3,
      practice: 'Test Practice',
      question: 'How far?',
      plan: 'small-dog-murmur',
      sentAt: '2026-11-25T09:00:00.000Z',
    },
    text: {
      findings: { mitral: { state: 'described', proposed: null, text: 'Thickened ≥ 2 mm → prolapse.' } },
      conclusion,
      stage: 'B2',
      next: 'Scan again in six months.',
      rescan: '',
      technique: '',
    },
  });
  const blocks = pageModel(
    {
      document,
      letterhead: { name: 'Test Readers', lines: ['1 Test Lane'], demo: true },
      indices: printedIndices(interpretation),
      flagSentences: sayFlagsFor(document, interpretation, null),
      sources: sourcesOf(interpretation),
      checks: pageWords.checks(interpretation),
      hash: 'a'.repeat(64),
      signed: true,
    },
    pageWords,
  );
  const bytes = await paintPdf(blocks, {
    title: 'Cardiology opinion',
    author: 'Test Reader',
    at: new Date('2026-11-25T10:00:00Z'),
  });
  const text = bytes.toString('latin1');
  return { bytes, text, pages: (text.match(/\/Type \/Page\b/g) ?? []).length };
}

describe('the printed opinion', () => {
  it('takes an ordinary case on two pages, tagged, in a language, with embedded fonts', async () => {
    const { text, pages } = await paint('Fits degenerative mitral valve disease.');
    expect(text.startsWith('%PDF-1.7')).toBe(true);
    expect(pages).toBeLessThanOrEqual(2);
    for (const mark of ['/StructTreeRoot', '/Lang (en-GB)', '/MarkInfo', '/FontFile2', '/Figure', '/Table'])
      expect(text, mark).toContain(mark);
  });

  it('gives the same bytes again on the same machine', async () => {
    expect((await paint('Same.')).bytes.equals((await paint('Same.')).bytes)).toBe(true);
  });

  it('takes the longest text, other scripts and emoji without failing or losing pages', async () => {
    const words = 'Длинный текст 🐕 with ≥ µ ² and a veryverylongwordwithoutanyspace';
    const long = await paint(words.repeat(70).slice(0, 4000));
    expect(long.pages).toBeGreaterThan(1);
    expect(long.pages).toBeLessThan(7);
  });
});
