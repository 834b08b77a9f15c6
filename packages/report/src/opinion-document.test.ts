import { createHash } from 'node:crypto';
import { EMPTY_OPINION, type OpinionText, type PatientView, upgradeOpinionText } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { canonicalText } from './canonical-text';
import { opinionDocument, type StoredDocument, upgradeDocument } from './opinion-document';
import { pageModel } from './page-model';
import type { PageWords } from './page-words';

/** A document as the first schema stored it. */
const FIRST: StoredDocument = {
  schema: 1,
  kind: 'opinion',
  referral: {
    number: 3,
    practice: 'Test Practice',
    question: 'How far?',
    plan: 'small-dog-murmur',
    sentAt: '2026-11-20T09:00:00.000Z',
  },
  patient: {
    name: 'Pebble',
    number: 7,
    species: 'dog',
    breedText: 'mixed',
    sex: 'female',
    neutered: true,
    ageMonths: 120,
    chip: null,
    weightKg: 7.4,
    weightGuessed: false,
  },
  text: {
    findings: {
      mitral: { state: 'described', text: 'Thickened leaflets.' },
      rhythm: { state: 'not-seen', text: '' },
    } as unknown as OpinionText['findings'],
    conclusion: 'Fits mitral disease, wall 5.5 mm.',
    stage: 'B2',
    next: 'Scan again in six months.',
    rescan: '',
    technique: 'Even gain.',
  },
  signer: { name: 'Test Reader', group: 'Test Readers' },
  signedAt: '2026-11-20T10:00:00.000Z',
  engine: { version: '0.1.0', limitsHash: '00aa', inputHash: '00bb' },
  measurements: [
    {
      id: '018f0000-0000-7000-8000-0000000000a1',
      code: 'lvidd',
      value: 38.2,
      unit: 'mm',
      side: 'sender',
      by: 'Test Vet',
    },
  ],
  flags: [{ key: 'LA_LV_ENLARGED', level: 'look', answer: 'kept', reason: '' }],
  addsTo: null,
};

const words: PageWords = {
  structureName: (s) => s,
  indexLabel: (i) => i.code,
  indexValue: (i) => String(i.value),
  indexSentence: (i) => i.code,
  levelName: (l) => l,
  patientLine: (p) => p.name,
  moment: (iso) => iso,
  day: (d) => d,
  planName: (p) => p,
  viewName: (v) => v,
  filmedClips: (n: readonly number[]) => (n.length === 0 ? '' : `filmed: ${n.join()}`),
};
const printed = (document: ReturnType<typeof upgradeDocument>, hash: string | null = 'f'.repeat(64)) =>
  pageModel(
    {
      document,
      letterhead: { name: 'Test Readers', lines: [], demo: false },
      indices: [],
      flagSentences: [],
      sources: [],
      checks: '',
      hash,
      verifyAt: 'https://chordae.example/verify/',
    },
    words,
  );

describe('a document of the first schema', () => {
  // Hash made apart, by Python: json.dumps(…, sort_keys=True, separators=(',', ':'), ensure_ascii=False), hashlib.sha256.
  it('keeps the hash that it was signed with', () => {
    expect(createHash('sha256').update(canonicalText(FIRST), 'utf8').digest('hex')).toBe(
      '72aa8bf7554cba1704706fb9a2423c076cb379c61b5c41e232b7b734a3cbd79f',
    );
  });

  it('is printed with what it said, and is itself left as it was', () => {
    const before = JSON.stringify(FIRST);
    const document = upgradeDocument(FIRST, upgradeOpinionText);
    const text = JSON.stringify(printed(document));
    for (const said of [
      'Fits mitral disease, wall 5.5 mm.',
      'Scan again in six months.',
      'B2',
      'Even gain.',
      'Thickened leaflets.',
      'Not seen.',
    ])
      expect(text).toContain(said);
    expect(JSON.stringify(FIRST)).toBe(before);
    expect(document.text).toEqual({
      ...EMPTY_OPINION,
      ...FIRST.text,
      findings: {
        mitral: { state: 'described', text: 'Thickened leaflets.', proposed: null },
        rhythm: { state: 'not-seen', text: '', proposed: null },
      },
    });
  });
});

describe('a document of today', () => {
  const CLIPS = [3, 1, 2].map((number) => ({ id: `clip-${number}`, number, view: null }));
  const make = (text: Partial<OpinionText>) =>
    opinionDocument({
      kind: 'opinion',
      referral: FIRST.referral,
      patient: { ...FIRST.patient, weight: null } as unknown as PatientView,
      text: { ...EMPTY_OPINION, ...text },
      scannedOn: '2026-11-19',
      clips: CLIPS,
      signer: FIRST.signer,
      signedAt: FIRST.signedAt,
      interpretation: null,
      standing: [],
      flagAnswers: [],
      addsTo: null,
    });

  it('signs every field of the opinion: another value anywhere gives another hash', () => {
    const hash = (text: Partial<OpinionText>) => canonicalText(make(text));
    const changed: Partial<OpinionText>[] = [
      { conclusion: 'x' },
      { stage: 'x' },
      { next: 'x' },
      { notToConclude: 'x' },
      { rescan: 'x' },
      { technique: 'x' },
      { recheckOn: '2027-05-25' },
      { recheckFor: 'x' },
      { keeperPage: 'x' },
      { ownFlags: [{ id: 'a', level: 'note', text: 'x' }] },
      { keyFrames: [{ id: 'a', clipId: 'clip-1', frame: 2, caption: '', drawings: [] }] },
      { clipFeedback: [{ clipId: 'clip-2', text: 'x', frame: null, drawings: [] }] },
      { findings: { mitral: { state: 'described', text: 'x', proposed: 'y' } } },
    ];
    expect(changed.flatMap((c) => Object.keys(c)).sort()).toEqual(Object.keys(EMPTY_OPINION).sort());
    const all = changed.map(hash);
    expect(new Set([...all, hash({})]).size).toBe(all.length + 1);
  });

  it('says on paper which clips a camera took from a screen, whether they are shown or not, and signs it', () => {
    const filmed = CLIPS.map((c) => ({ ...c, filmed: c.number !== 2 }));
    const parts = {
      kind: 'opinion' as const,
      referral: FIRST.referral,
      patient: { ...FIRST.patient, weight: null } as unknown as PatientView,
      text: EMPTY_OPINION,
      scannedOn: '2026-11-19',
      signer: FIRST.signer,
      signedAt: FIRST.signedAt,
      interpretation: null,
      standing: [],
      flagAnswers: [],
      addsTo: null,
    };
    const document = opinionDocument({ ...parts, clips: filmed });
    expect(document.filmedClips).toEqual([1, 3]);
    expect(canonicalText(document)).not.toBe(canonicalText(make({})));
    // Without any, a document reads as it did before.
    expect(canonicalText(opinionDocument({ ...parts, clips: CLIPS }))).not.toContain('filmed');
  });

  it('names the clips that it shows or speaks of by their number, and no others', () => {
    const { clips } = make({
      keyFrames: [{ id: 'a', clipId: 'clip-3', frame: 2, caption: '', drawings: [] }],
      clipFeedback: [{ clipId: 'clip-2', text: 'x', frame: null, drawings: [] }],
    });
    expect(clips.map((c) => c.number)).toEqual([2, 3]);
  });

  it('prints what was drawn on a clip without words, and drops only what is empty', () => {
    const point = { shape: 'velocity' as const, points: [{ x: 1, y: 1 }], axis: null, label: '' };
    const document = make({
      clipFeedback: [
        { clipId: 'clip-1', text: ' ', frame: null, drawings: [] },
        { clipId: 'clip-2', text: '', frame: 4, drawings: [point] },
        { clipId: 'clip-3', text: '', frame: null, drawings: [point] },
      ],
    });
    const notes = printed(document).find((b) => b.kind === 'clip-notes');
    expect(notes?.rows.map((r) => [r.label.slice(0, 6), r.frame?.frame ?? null])).toEqual([
      ['Clip 2', 4],
      ['Clip 3', null],
    ]);
  });

  it('carries an act-now flag of the reader above the conclusion, and a draft carries no proof', () => {
    const document = make({
      conclusion: 'The conclusion.',
      ownFlags: [
        { id: 'a', level: 'note', text: 'A note.' },
        { id: 'b', level: 'act-now', text: 'At once.' },
      ],
    });
    const kinds = printed(document).map((b) => b.kind);
    expect(kinds.indexOf('act-now')).toBeGreaterThan(0);
    expect(kinds.indexOf('act-now')).toBeLessThan(kinds.indexOf('heading'));
    const draft = printed(document, null).find((b) => b.kind === 'signature');
    expect(draft).toMatchObject({ signed: false, proof: [] });
  });
});
