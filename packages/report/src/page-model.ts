import { structures } from '@chordae/contract';
import type { Block } from './blocks';
import { isAddendum, isScanReport, type OpinionDocument } from './opinion-document';
import { flags, pictures } from './page-parts';
import type { PageInput, PageWords } from './page-words';

export const CAUTION =
  'Decision support for licensed veterinary professionals, resting on the clips and numbers that were sent; it is not a diagnosis. ' +
  'Limits differ with breed, method and source: each is named. Stabilise a patient in distress first. Dosage and treatment are for the attending veterinarian under local law.';

export const DRAFT_MARK = 'Draft, not signed';
export const NO_SPECIALIST = 'Written and signed by the person who scanned. It is not a specialist opinion.';

/** The caution of a scan report: nothing was sent to anybody, and it answers for one scan alone. */
export const REPORT_CAUTION =
  'Decision support for licensed veterinary professionals, resting on this one scan; it is not a diagnosis, and no cardiologist read it before it was signed. ' +
  'Limits differ with breed, method and source: each is named. Stabilise a patient in distress first. Dosage and treatment are for the attending veterinarian under local law.';

/** Title of a paper by who made it: a sonographer's own words are never headed as a specialist's. */
export function titleOf(d: Pick<OpinionDocument, 'kind' | 'signer'>): string {
  if (!isScanReport(d.kind))
    return d.kind === 'addendum' ? 'Addendum to a cardiology opinion' : 'Cardiology opinion';
  const by = d.signer.role === 'referring-vet' ? 'by the vet who scanned' : 'by a sonographer';
  return d.kind === 'scan-report' ? `Scan report ${by}` : `Addendum to a scan report ${by}`;
}

/** The printed opinion, addendum or scan report: what cannot wait, then the conclusion, then what it rests on. */
export function pageModel(input: PageInput, words: PageWords): Block[] {
  const { document: d } = input;
  const blocks: Block[] = [
    {
      kind: 'letterhead',
      name: input.letterhead.name,
      lines: input.letterhead.lines,
      demo: input.letterhead.demo,
    },
    {
      kind: 'title',
      text: titleOf(d),
      note: isScanReport(d.kind) ? NO_SPECIALIST : null,
      mark: input.hash === null ? DRAFT_MARK : null,
    },
    { kind: 'facts', rows: facts(d, words) },
  ];
  if (isAddendum(d.kind)) {
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
    lead: isScanReport(d.kind)
      ? `Signed by ${d.signer.name} for ${d.signer.group}`
      : `Signed by ${d.signer.name}, ${d.signer.group}`,
    at: signedAt(d, words),
    proof: [
      `SHA-256 of the signed text: ${hash}`,
      ...(d.addsTo
        ? [`It adds to the ${isScanReport(d.kind) ? 'scan report' : 'opinion'} with SHA-256 ${d.addsTo}`]
        : []),
      ...(input.verifyAt
        ? [
            'Anybody may check that it was signed here, and whether something was added since:',
            `${input.verifyAt}${hash}`,
          ]
        : []),
    ],
  };
}

/** Clocks differ and lines are slow: less than this is no signature without a network. */
const SAME_TIME_MS = 10 * 60_000;

/** A report signed without a network counts from the server's time; the device's own is said beside it. */
function signedAt(d: OpinionDocument, words: PageWords): string {
  const at = words.moment(d.signedAt);
  if (!d.deviceSignedAt) return at;
  if (Math.abs(Date.parse(d.signedAt) - Date.parse(d.deviceSignedAt)) < SAME_TIME_MS) return at;
  return `${at}. Signed on a device at ${words.moment(d.deviceSignedAt)} by its own clock, confirmed when it had a network.`;
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
    lines: [
      isScanReport(input.document.kind) ? REPORT_CAUTION : CAUTION,
      input.checks,
      ...computed,
      ...sources,
      input.letterhead.footer?.trim() ?? '',
    ].filter((l) => l !== ''),
  };
}

function facts(d: OpinionDocument, words: PageWords): (readonly [string, string])[] {
  const sent = d.referral.sentAt ? `, sent ${words.moment(d.referral.sentAt)}` : '';
  const rows: (readonly [string, string])[] = [
    ['Patient', words.patientLine(d.patient)],
    isScanReport(d.kind)
      ? ['Scanned for', `${d.referral.practice}, number ${d.referral.number}`]
      : ['Sent by', `${d.referral.practice}, referral ${d.referral.number}${sent}`],
    ['Scanned', d.scannedOn ? words.day(d.scannedOn) : ''],
    ['Scan plan', words.planName(d.referral.plan)],
    ['Pictures', words.filmedClips(d.filmedClips ?? [])],
    ['Question', d.referral.question],
  ];
  return rows.filter(([, value]) => value.trim() !== '');
}

/** Every structure has its line: what nobody looked at is said to be 'not assessed'. */
function findings(d: OpinionDocument, words: PageWords) {
  return structures.map((structure) => {
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
