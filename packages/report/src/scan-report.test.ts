import { EMPTY_OPINION, type FlagAnswer, type PatientView } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import type { Block } from './blocks';
import { canonicalText } from './canonical-text';
import { isAddendum, isScanReport, type OpinionDocument, opinionDocument } from './opinion-document';
import { CAUTION, pageModel, REPORT_CAUTION, titleOf } from './page-model';
import type { PageWords } from './page-words';

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

const patient = {
  name: 'Pebble',
  number: 7,
  species: 'dog',
  breedText: 'mixed',
  sex: 'female',
  neutered: true,
  ageMonths: 120,
  chip: null,
  weight: null,
} as unknown as PatientView;

function make(
  more: Partial<Parameters<typeof opinionDocument>[0]> & { role?: 'sonographer' | 'referring-vet' } = {},
): OpinionDocument {
  const { role = 'sonographer', ...rest } = more;
  return opinionDocument({
    kind: 'scan-report',
    referral: { number: 3, practice: 'Test Practice', question: 'How far?', plan: 'collapse', sentAt: null },
    patient,
    text: { ...EMPTY_OPINION, conclusion: 'The conclusion.' },
    scannedOn: '2026-11-19',
    clips: [],
    signer: { name: 'Test Sonographer', group: 'Test Practice', role },
    signedAt: '2026-11-20T10:00:00.000Z',
    interpretation: null,
    standing: [],
    flagAnswers: [],
    addsTo: null,
    ...rest,
  });
}

function printed(document: OpinionDocument, hash: string | null = 'f'.repeat(64), footer = ''): Block[] {
  return pageModel(
    {
      document,
      letterhead: { name: 'Test Practice', lines: ['7 Test Lane'], demo: false, footer },
      indices: [],
      flagSentences: [
        { level: 'act-now', sentence: 'Treat now.', answer: 'Passed up.', setAside: false },
        { level: 'act-now', sentence: 'Not this one.', answer: 'Set aside.', setAside: true },
      ],
      sources: [],
      checks: '',
      hash,
      verifyAt: 'https://chordae.example/verify/',
    },
    words,
  );
}
const block = <K extends Block['kind']>(blocks: readonly Block[], kind: K) => {
  const found = blocks.find((b) => b.kind === kind);
  if (!found) throw new Error(`no block ${kind}`);
  return found as Extract<Block, { kind: K }>;
};

describe('the title of a paper', () => {
  it('says who made it, and never calls a scan report an opinion', () => {
    expect(titleOf(make())).toBe('Scan report by a sonographer');
    expect(titleOf(make({ role: 'referring-vet' }))).toBe('Scan report by the vet who scanned');
    expect(titleOf(make({ kind: 'scan-report-addendum' }))).toBe(
      'Addendum to a scan report by a sonographer',
    );
    expect(titleOf(make({ kind: 'opinion' }))).toBe('Cardiology opinion');
    expect(titleOf(make({ kind: 'addendum' }))).toBe('Addendum to a cardiology opinion');
    const kinds = ['opinion', 'addendum', 'scan-report', 'scan-report-addendum'] as const;
    expect(kinds.map((k) => [isScanReport(k), isAddendum(k)])).toEqual([
      [false, false],
      [false, true],
      [true, false],
      [true, true],
    ]);
  });
});

describe('a printed scan report', () => {
  it('carries the practice’s head and foot, that it is no specialist’s, and a caution of its own', () => {
    const blocks = printed(make(), undefined, 'Registered as example 12');
    expect(block(blocks, 'letterhead')).toEqual({
      kind: 'letterhead',
      name: 'Test Practice',
      lines: ['7 Test Lane'],
      demo: false,
    });
    expect(block(blocks, 'title').note).toContain('not a specialist opinion');
    expect(block(blocks, 'signature').lead).toBe('Signed by Test Sonographer for Test Practice');
    const { lines } = block(blocks, 'small');
    expect(lines).toContain(REPORT_CAUTION);
    expect(lines).not.toContain(CAUTION);
    expect(lines.at(-1)).toBe('Registered as example 12');
    expect(block(blocks, 'facts').rows).toContainEqual(['Scanned for', 'Test Practice, number 3']);
  });

  it('keeps a flag that is passed up above the conclusion, and one that is set aside among the flags', () => {
    const blocks = printed(make());
    expect(block(blocks, 'act-now').lines).toEqual(['Treat now.']);
    const kinds = blocks.map((b) => b.kind);
    expect(kinds.indexOf('act-now')).toBeLessThan(kinds.indexOf('paragraph'));
    expect(block(blocks, 'flags').rows).toHaveLength(2);
  });

  it('says when it was signed on a device only where that was another time', () => {
    const at = (deviceSignedAt: string | null) => block(printed(make({ deviceSignedAt })), 'signature').at;
    expect(at(null)).toBe('2026-11-20T10:00:00.000Z');
    expect(at('2026-11-20T09:58:00.000Z')).toBe('2026-11-20T10:00:00.000Z');
    expect(at('2026-11-18T17:00:00.000Z')).toContain('Signed on a device at 2026-11-18T17:00:00.000Z');
  });

  it('has an addendum name the report that it adds to, and nothing of its findings', () => {
    const blocks = printed(make({ kind: 'scan-report-addendum', addsTo: 'e'.repeat(64) }));
    expect(block(blocks, 'signature').proof).toContain(
      `It adds to the scan report with SHA-256 ${'e'.repeat(64)}`,
    );
    expect(blocks.some((b) => b.kind === 'findings' || b.kind === 'act-now')).toBe(false);
  });
});

describe('what a scan report’s signature covers', () => {
  it('includes the role, the device’s time and each answer to a flag; an opinion’s text is as it was', () => {
    const answers = (answer: string) => [{ flagKey: 'A', answer, reason: '' }] as FlagAnswer[];
    const flagged = (answer: string) =>
      make({
        flagAnswers: answers(answer),
        interpretation: {
          flags: [{ key: 'A', level: 'act-now' }],
          engine: { version: '1', limitsHash: '2' },
          inputHash: '3',
        } as never,
      });
    const all = [
      make(),
      make({ role: 'referring-vet' }),
      make({ deviceSignedAt: '2026-11-18T17:00:00.000Z' }),
      flagged('kept'),
      flagged('passed-up'),
    ].map(canonicalText);
    expect(new Set(all).size).toBe(all.length);
    // Without the new fields the canonical text has no trace of them: what was signed before keeps its hash.
    const opinion = canonicalText(make({ kind: 'opinion', signer: { name: 'Reader', group: 'Readers' } }));
    expect(opinion).not.toMatch(/deviceSignedAt|"role"/);
  });
});
