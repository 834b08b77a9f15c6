import type { IndexResult, Structure } from '@chordae/contract';
import type { OpinionDocument } from './opinion-document';

/** One printed block. Painters decide sizes and fonts; the order and the words are here. */
export type Block =
  | {
      readonly kind: 'letterhead';
      readonly name: string;
      readonly lines: readonly string[];
      readonly demo: boolean;
    }
  | { readonly kind: 'title'; readonly text: string }
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'paragraph'; readonly text: string; readonly strong?: boolean }
  | { readonly kind: 'facts'; readonly rows: readonly (readonly [label: string, value: string])[] }
  | {
      readonly kind: 'findings';
      readonly rows: readonly {
        readonly structure: string;
        readonly text: string;
        readonly quiet: boolean;
      }[];
    }
  | {
      readonly kind: 'indices';
      readonly rows: readonly {
        readonly index: IndexResult;
        readonly label: string;
        readonly sentence: string;
      }[];
    }
  | {
      readonly kind: 'flags';
      readonly rows: readonly {
        readonly level: string;
        readonly sentence: string;
        readonly answer: string;
      }[];
    }
  | { readonly kind: 'small'; readonly lines: readonly string[] }
  | {
      readonly kind: 'signature';
      readonly signer: string;
      readonly group: string;
      readonly signedAt: string;
      readonly hash: string;
      readonly signed: boolean;
    };

/** Words that the page needs: given from outside, so that the page can be made in any language. */
export interface PageWords {
  readonly structureName: (structure: Structure) => string;
  readonly indexLabel: (index: IndexResult) => string;
  readonly indexSentence: (index: IndexResult) => string;
  readonly levelName: (level: string) => string;
  readonly patientLine: (document: OpinionDocument) => string;
  readonly moment: (iso: string) => string;
  readonly planName: (plan: string) => string;
}

export interface PageInput {
  readonly document: OpinionDocument;
  readonly letterhead: { readonly name: string; readonly lines: readonly string[]; readonly demo: boolean };
  readonly indices: readonly IndexResult[];
  readonly flagSentences: readonly {
    readonly level: string;
    readonly sentence: string;
    readonly answer: string;
  }[];
  readonly sources: readonly string[];
  readonly checks: string;
  readonly hash: string;
  readonly signed: boolean;
}

const STRUCTURES: readonly Structure[] = [
  'pericardium-pleura',
  'left-ventricle',
  'left-atrium',
  'mitral',
  'aortic-outflow',
  'right-heart',
  'tricuspid-pulmonic',
  'great-vessels',
  'rhythm',
];

export const CAUTION =
  'Decision support for licensed veterinary professionals, resting on the clips and numbers that were sent; it is not a diagnosis. ' +
  'Limits differ with breed, method and source: each is named. Stabilise a patient in distress first. Dosage and treatment are for the attending veterinarian under local law.';

/** The printed opinion, conclusion first. */
export function pageModel(input: PageInput, words: PageWords): Block[] {
  const { document: d } = input;
  const blocks: Block[] = [
    { kind: 'letterhead', ...input.letterhead },
    {
      kind: 'title',
      text: d.kind === 'addendum' ? 'Addendum to a cardiology opinion' : 'Cardiology opinion',
    },
    { kind: 'facts', rows: facts(d, words) },
  ];
  if (d.kind === 'addendum') {
    blocks.push(
      { kind: 'heading', text: 'Added' },
      { kind: 'paragraph', text: d.text.conclusion, strong: true },
    );
  } else {
    section(blocks, 'Conclusion', d.text.conclusion, true);
    section(blocks, 'Stage', d.text.stage);
    section(blocks, 'What to do next', d.text.next, true);
    section(blocks, 'To scan again', d.text.rescan);
    blocks.push({ kind: 'heading', text: 'Findings' }, { kind: 'findings', rows: findings(d, words) });
    section(blocks, 'On technique', d.text.technique);
    if (input.indices.length > 0) {
      const rows = input.indices.map((index) => ({
        index,
        label: words.indexLabel(index),
        sentence: words.indexSentence(index),
      }));
      blocks.push({ kind: 'heading', text: 'Numbers on their limits' }, { kind: 'indices', rows });
    }
    if (input.flagSentences.length > 0) {
      blocks.push({ kind: 'heading', text: 'Flags computed, and what the reader made of them' });
      blocks.push({
        kind: 'flags',
        rows: input.flagSentences.map((f) => ({ ...f, level: words.levelName(f.level) })),
      });
    }
  }
  blocks.push({
    kind: 'signature',
    signer: d.signer.name,
    group: d.signer.group,
    signedAt: words.moment(d.signedAt),
    hash: input.hash,
    signed: input.signed,
  });
  const engine = d.engine
    ? [
        `Computed by interpretation ${d.engine.version}, limits ${d.engine.limitsHash.slice(0, 12)}, input ${d.engine.inputHash.slice(0, 12)}.`,
      ]
    : [];
  blocks.push({
    kind: 'small',
    lines: [CAUTION, input.checks, ...engine, ...input.sources.map((s) => `Source: ${s}`)].filter(
      (l) => l !== '',
    ),
  });
  return blocks;
}

function section(blocks: Block[], heading: string, text: string, strong = false): void {
  if (text.trim() === '') return;
  blocks.push({ kind: 'heading', text: heading }, { kind: 'paragraph', text, strong });
}

function facts(d: OpinionDocument, words: PageWords): (readonly [string, string])[] {
  return [
    ['Patient', words.patientLine(d)],
    [
      'Sent by',
      `${d.referral.practice}, referral ${d.referral.number}${d.referral.sentAt ? `, ${words.moment(d.referral.sentAt)}` : ''}`,
    ],
    ['Scan plan', words.planName(d.referral.plan)],
    ['Question', d.referral.question],
  ];
}

/** Every structure has its line: what nobody looked at is said to be 'not assessed'. */
function findings(d: OpinionDocument, words: PageWords) {
  return STRUCTURES.map((structure) => {
    const found = d.text.findings[structure];
    const state = found?.state ?? 'not-assessed';
    const text =
      state === 'described' ? (found?.text ?? '') : state === 'not-seen' ? 'Not seen.' : 'Not assessed.';
    const name = words.structureName(structure);
    return { structure: name.charAt(0).toUpperCase() + name.slice(1), text, quiet: state !== 'described' };
  });
}
