import type { FrameDrawing, IndexResult, Structure, ViewId } from '@chordae/contract';
import type { Block, PrintedFrame } from './blocks';
import type { OpinionDocument } from './opinion-document';

/** Words that the page needs: given from outside, so that the page can be made in any language. */
export interface PageWords {
  readonly structureName: (structure: Structure) => string;
  readonly indexLabel: (index: IndexResult) => string;
  readonly indexValue: (index: IndexResult) => string;
  readonly indexSentence: (index: IndexResult) => string;
  readonly levelName: (level: string) => string;
  readonly patientLine: (patient: OpinionDocument['patient']) => string;
  readonly moment: (iso: string) => string;
  readonly day: (isoDay: string) => string;
  readonly planName: (plan: string) => string;
  readonly viewName: (view: ViewId) => string;
}

export interface PageInput {
  readonly document: OpinionDocument;
  readonly letterhead: { readonly name: string; readonly lines: readonly string[]; readonly demo: boolean };
  readonly indices: readonly IndexResult[];
  readonly flagSentences: readonly {
    readonly level: string;
    readonly sentence: string;
    readonly answer: string;
    /** The reader put it aside with a reason: it is printed among the flags, never above the conclusion. */
    readonly setAside: boolean;
  }[];
  readonly sources: readonly string[];
  readonly checks: string;
  /** Null while it is a draft: nothing was signed that could be checked. */
  readonly hash: string | null;
  /** Where the hash may be checked, e.g. `https://…/verify/`; the hash is put behind it. */
  readonly verifyAt: string | null;
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

export const DRAFT_MARK = 'Draft, not signed';
export const NO_SPECIALIST = 'Written and signed by the person who scanned. It is not a specialist opinion.';

const TITLES: Record<OpinionDocument['kind'], string> = {
  opinion: 'Cardiology opinion',
  addendum: 'Addendum to a cardiology opinion',
  'scan-report': 'Scan report by a sonographer',
};

/** The printed opinion, addendum or scan report: what cannot wait, then the conclusion, then what it rests on. */
export function pageModel(input: PageInput, words: PageWords): Block[] {
  const { document: d } = input;
  const blocks: Block[] = [
    { kind: 'letterhead', ...input.letterhead },
    {
      kind: 'title',
      text: TITLES[d.kind],
      note: d.kind === 'scan-report' ? NO_SPECIALIST : null,
      mark: input.hash === null ? DRAFT_MARK : null,
    },
    { kind: 'facts', rows: facts(d, words) },
  ];
  if (d.kind === 'addendum') {
    blocks.push(
      { kind: 'heading', text: 'Added' },
      { kind: 'paragraph', text: d.text.conclusion, strong: true },
    );
  } else blocks.push(...body(input, words));
  blocks.push(signature(input, words), small(input));
  return blocks;
}

function body(input: PageInput, words: PageWords): Block[] {
  const { text } = input.document;
  const blocks: Block[] = [];
  const now = [
    ...text.ownFlags.filter((f) => f.level === 'act-now').map((f) => f.text),
    ...input.flagSentences.filter((f) => f.level === 'act-now' && !f.setAside).map((f) => f.sentence),
  ].filter((t) => t.trim() !== '');
  if (now.length > 0) blocks.push({ kind: 'act-now', title: words.levelName('act-now'), lines: now });
  if (text.conclusion.trim() !== '')
    blocks.push(
      { kind: 'heading', text: 'Conclusion' },
      { kind: 'paragraph', text: text.conclusion, strong: true },
    );
  const short = answers(input.document, words);
  if (short.length > 0) blocks.push({ kind: 'answers', rows: short });
  blocks.push(
    { kind: 'heading', text: 'Findings' },
    { kind: 'findings', rows: findings(input.document, words) },
  );
  if (input.indices.length > 0)
    blocks.push(
      { kind: 'heading', text: 'Numbers on their limits' },
      {
        kind: 'indices',
        rows: input.indices.map((index) => ({
          index,
          label: words.indexLabel(index),
          value: words.indexValue(index),
          sentence: words.indexSentence(index),
        })),
      },
    );
  blocks.push(...pictures(input.document, words), ...flags(input, words));
  return blocks;
}

function answers(d: OpinionDocument, words: PageWords): (readonly [string, string])[] {
  const { text } = d;
  const again = [text.recheckOn ? words.day(text.recheckOn) : '', text.recheckFor.trim()]
    .filter((t) => t !== '')
    .join(': ');
  const rows: (readonly [string, string])[] = [
    ['What to do next', text.next],
    ['Stage', text.stage],
    ['Look again', again],
    ['Scan again', text.rescan],
    ['Not to conclude', text.notToConclude],
  ];
  return rows.filter(([, value]) => value.trim() !== '');
}

/** Key frames, then what is said about how it was scanned. */
function pictures(d: OpinionDocument, words: PageWords): Block[] {
  const blocks: Block[] = [];
  const frames = d.text.keyFrames.map((k) => printedFrame(d, words, k, k.caption));
  if (frames.length > 0) blocks.push({ kind: 'heading', text: 'Key frames' }, { kind: 'key-frames', frames });
  const rows = d.text.clipFeedback
    .filter((f) => f.text.trim() !== '')
    .map((f) => ({
      label: clipLabel(d, words, f.clipId),
      text: f.text,
      frame: f.frame === null ? null : printedFrame(d, words, { ...f, frame: f.frame }, ''),
    }));
  if (d.text.technique.trim() !== '' || rows.length > 0)
    blocks.push({ kind: 'heading', text: 'On technique' });
  if (d.text.technique.trim() !== '') blocks.push({ kind: 'paragraph', text: d.text.technique });
  if (rows.length > 0) blocks.push({ kind: 'clip-notes', rows });
  return blocks;
}

function clipLabel(d: OpinionDocument, words: PageWords, clipId: string): string {
  const clip = d.clips.find((c) => c.id === clipId);
  if (!clip) return 'A clip of this referral';
  return clip.view && clip.view !== 'other'
    ? `Clip ${clip.number}, ${words.viewName(clip.view)}`
    : `Clip ${clip.number}`;
}

function printedFrame(
  d: OpinionDocument,
  words: PageWords,
  at: { clipId: string; frame: number; drawings: readonly FrameDrawing[] },
  caption: string,
): PrintedFrame {
  const label = `${clipLabel(d, words, at.clipId)}, frame ${at.frame + 1}`;
  const drawn = at.drawings.map((x) => x.label.trim()).filter((t) => t !== '');
  const said = [
    label,
    caption.trim().replace(/\.$/, ''),
    drawn.length > 0 ? `drawn: ${drawn.join(', ')}` : '',
  ]
    .filter((t) => t !== '')
    .join('. ');
  return { clipId: at.clipId, frame: at.frame, label, caption, alt: said, drawings: at.drawings };
}

function flags(input: PageInput, words: PageWords): Block[] {
  // Those that cannot wait stand above the conclusion already.
  const own = input.document.text.ownFlags.filter((f) => f.text.trim() !== '' && f.level !== 'act-now');
  const blocks: Block[] = [];
  if (own.length > 0)
    blocks.push(
      { kind: 'heading', text: 'Raised by the reader' },
      {
        kind: 'flags',
        rows: own.map((f) => ({ level: words.levelName(f.level), sentence: f.text, answer: '' })),
      },
    );
  if (input.flagSentences.length > 0)
    blocks.push(
      { kind: 'heading', text: 'Flags computed, and what the reader made of them' },
      {
        kind: 'flags',
        rows: input.flagSentences.map(({ level, sentence, answer }) => ({
          level: words.levelName(level),
          sentence,
          answer,
        })),
      },
    );
  return blocks;
}

function signature(input: PageInput, words: PageWords): Block {
  const { document: d, hash } = input;
  if (hash === null)
    return {
      kind: 'signature',
      signed: false,
      lead: 'Not signed',
      at: `${DRAFT_MARK}: it may still change, and nothing may rest on it.`,
      proof: [],
    };
  return {
    kind: 'signature',
    signed: true,
    lead: `Signed by ${d.signer.name}, ${d.signer.group}`,
    at: words.moment(d.signedAt),
    proof: [
      `SHA-256 of the signed text: ${hash}`,
      ...(d.addsTo ? [`It adds to the opinion with SHA-256 ${d.addsTo}`] : []),
      ...(input.verifyAt
        ? [
            'Anybody may check that it was signed here, and whether something was added since:',
            `${input.verifyAt}${hash}`,
          ]
        : []),
    ],
  };
}

function small(input: PageInput): Block {
  const { engine } = input.document;
  const computed = engine
    ? [
        `Computed by interpretation ${engine.version}, limits ${engine.limitsHash.slice(0, 12)}, input ${engine.inputHash.slice(0, 12)}.`,
      ]
    : [];
  const sources = input.sources.length > 0 ? [`Sources: ${input.sources.join('; ')}.`] : [];
  return {
    kind: 'small',
    lines: [CAUTION, input.checks, ...computed, ...sources].filter((l) => l !== ''),
  };
}

function facts(d: OpinionDocument, words: PageWords): (readonly [string, string])[] {
  const sent = d.referral.sentAt ? `, sent ${words.moment(d.referral.sentAt)}` : '';
  const rows: (readonly [string, string])[] = [
    ['Patient', words.patientLine(d.patient)],
    ['Sent by', `${d.referral.practice}, referral ${d.referral.number}${sent}`],
    ['Scanned', d.scannedOn ? words.day(d.scannedOn) : ''],
    ['Scan plan', words.planName(d.referral.plan)],
    ['Question', d.referral.question],
  ];
  return rows.filter(([, value]) => value.trim() !== '');
}

/** Every structure has its line: what nobody looked at is said to be 'not assessed'. */
function findings(d: OpinionDocument, words: PageWords) {
  return STRUCTURES.map((structure) => {
    const found = d.text.findings[structure];
    const state = found?.state ?? 'not-assessed';
    const text =
      state === 'described' ? (found?.text ?? '') : state === 'not-seen' ? 'Not seen.' : 'Not assessed.';
    const name = words.structureName(structure);
    return {
      structure: name.charAt(0).toUpperCase() + name.slice(1),
      text: text.trim() === '' ? 'Described without words.' : text,
      quiet: state !== 'described',
    };
  });
}
