import type {
  FlagAnswer,
  IndexResult,
  Interpretation,
  MeasurementRecord,
  OpinionText,
  PatientView,
  ViewId,
} from '@chordae/contract';

/** What somebody made of a flag: a reader keeps it or sets it aside, who scanned may also pass it up. */
export type DocumentAnswer = Pick<FlagAnswer, 'flagKey' | 'reason'> & { readonly answer: string };

/**
 * Everything that a signature covers. Times are ISO 8601 in UTC. `scan-report` is the sonographer's own report to a
 * practice: the same machinery, said to be no specialist opinion.
 */
export interface OpinionDocument {
  readonly schema: 2;
  readonly kind: 'opinion' | 'addendum' | 'scan-report' | 'scan-report-addendum';
  readonly referral: {
    readonly number: number;
    readonly practice: string;
    readonly question: string;
    readonly plan: string;
    readonly sentAt: string | null;
  };
  readonly patient: Pick<
    PatientView,
    'name' | 'number' | 'species' | 'breedText' | 'sex' | 'neutered' | 'ageMonths' | 'chip'
  > & {
    readonly weightKg: number | null;
    readonly weightGuessed: boolean;
  };
  readonly text: OpinionText;
  /** Day of the newest scan that was read, `YYYY-MM-DD`. */
  readonly scannedOn: string | null;
  /** The clips that the text shows or speaks of, by the number they have on the page. */
  readonly clips: readonly {
    readonly id: string;
    readonly number: number;
    readonly view: ViewId | null;
  }[];
  /** Numbers of all clips of the case that a camera took from a screen; absent where there is none. */
  readonly filmedClips?: readonly number[];
  /** `group` is the reading group, or for a scan report the practice; `role` stands there for a scan report only. */
  readonly signer: {
    readonly name: string;
    readonly group: string;
    readonly role?: 'sonographer' | 'referring-vet';
  };
  /** The server's time. */
  readonly signedAt: string;
  /** Of a scan report: when the person signed, by the clock of the device; orders nothing. */
  readonly deviceSignedAt?: string | null;
  readonly engine: {
    readonly version: string;
    readonly limitsHash: string;
    readonly inputHash: string;
  } | null;
  /** What it rested on: values that stood at signing. */
  readonly measurements: readonly {
    readonly id: string;
    readonly code: string;
    readonly value: number;
    readonly unit: string;
    readonly side: string;
    readonly by: string;
  }[];
  readonly flags: readonly {
    readonly key: string;
    readonly level: string;
    readonly answer: string;
    readonly reason: string;
  }[];
  /** For an addendum: the hash of the opinion it adds to. */
  readonly addsTo: string | null;
}

/** As documents were stored before key frames, rechecks and the page for the keeper: their text lacks these fields. */
export type StoredDocument =
  | OpinionDocument
  | (Omit<OpinionDocument, 'schema' | 'text' | 'clips' | 'scannedOn' | 'kind'> & {
      readonly schema: 1;
      readonly kind: 'opinion' | 'addendum';
      readonly text: Partial<OpinionText>;
    });

/**
 * A stored document in today's form, for painting. What was signed is the stored canonical text, which this never
 * touches. `upgrade` fills the fields that the text did not have yet.
 */
export function upgradeDocument(
  stored: StoredDocument,
  upgrade: (text: Partial<OpinionText>) => OpinionText,
): OpinionDocument {
  if (stored.schema === 2) return stored;
  return { ...stored, schema: 2, text: upgrade(stored.text), clips: [], scannedOn: null };
}

/** Clips that a text shows or speaks of, in the order of their numbers. */
export function clipsNamed(
  text: OpinionText,
  clips: readonly { readonly id: string; readonly number: number; readonly view: ViewId | null }[],
): OpinionDocument['clips'] {
  const named = new Set([...text.keyFrames, ...text.clipFeedback].map((f) => f.clipId));
  return clips
    .filter((c) => named.has(c.id))
    .map(({ id, number, view }) => ({ id, number, view }))
    .sort((a, b) => a.number - b.number);
}

/** Gathers what is signed. Only what stands is listed; superseded values remain in the case, not in the signature. */
export function opinionDocument(parts: {
  kind: OpinionDocument['kind'];
  referral: OpinionDocument['referral'];
  patient: PatientView;
  text: OpinionText;
  scannedOn: string | null;
  clips: readonly {
    readonly id: string;
    readonly number: number;
    readonly view: ViewId | null;
    readonly filmed?: boolean;
  }[];
  signer: OpinionDocument['signer'];
  signedAt: string;
  deviceSignedAt?: string | null;
  interpretation: Interpretation | null;
  standing: readonly MeasurementRecord[];
  flagAnswers: readonly DocumentAnswer[];
  addsTo: string | null;
}): OpinionDocument {
  const { patient, interpretation } = parts;
  const filmedClips = parts.clips.filter((c) => c.filmed).map((c) => c.number);
  const answers = new Map(parts.flagAnswers.map((a) => [a.flagKey, a]));
  return {
    schema: 2,
    kind: parts.kind,
    referral: parts.referral,
    patient: {
      name: patient.name,
      number: patient.number,
      species: patient.species,
      breedText: patient.breedText,
      sex: patient.sex,
      neutered: patient.neutered,
      ageMonths: patient.ageMonths,
      chip: patient.chip,
      weightKg: patient.weight?.weightKg ?? null,
      weightGuessed: patient.weight?.guessed ?? false,
    },
    text: parts.text,
    scannedOn: parts.scannedOn,
    clips: clipsNamed(parts.text, parts.clips),
    ...(filmedClips.length > 0 ? { filmedClips: filmedClips.sort((a, b) => a - b) } : {}),
    signer: parts.signer,
    signedAt: parts.signedAt,
    ...(parts.deviceSignedAt === undefined ? {} : { deviceSignedAt: parts.deviceSignedAt }),
    engine: interpretation
      ? {
          version: interpretation.engine.version,
          limitsHash: interpretation.engine.limitsHash,
          inputHash: interpretation.inputHash,
        }
      : null,
    measurements: parts.standing.map((m) => ({
      id: m.id,
      code: m.code,
      value: m.value,
      unit: m.unit,
      side: m.side,
      by: m.madeBy,
    })),
    flags: (interpretation?.flags ?? []).map((f) => ({
      key: f.key,
      level: f.level,
      answer: answers.get(f.key)?.answer ?? 'unanswered',
      reason: answers.get(f.key)?.reason ?? '',
    })),
    addsTo: parts.addsTo,
  };
}

/** Is it a sonographer's own paper. `isScanReport('scan-report-addendum')` is true. */
export function isScanReport(kind: OpinionDocument['kind']): boolean {
  return kind === 'scan-report' || kind === 'scan-report-addendum';
}

/** Does it only add to another paper. `isAddendum('addendum')` is true. */
export function isAddendum(kind: OpinionDocument['kind']): boolean {
  return kind === 'addendum' || kind === 'scan-report-addendum';
}

/** Indices worth a line on paper: graded first, comparisons after. */
export function printedIndices(interpretation: Interpretation | null): IndexResult[] {
  const all = interpretation?.indices ?? [];
  return [
    ...all.filter((i) => i.position !== 'not-graded'),
    ...all.filter((i) => i.position === 'not-graded' && i.limits.length > 0),
  ];
}
