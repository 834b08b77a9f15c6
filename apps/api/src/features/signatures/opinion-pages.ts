import type { Interpretation } from '@chordae/contract';
import {
  type Block,
  isAddendum,
  isScanReport,
  type OpinionDocument,
  pageModel,
  printedIndices,
  titleOf,
} from '@chordae/report';
import { printedWords, sayPrintedChecks, sayPrintedFlags, sourcesOf } from '@chordae/words';
import { eq } from 'drizzle-orm';
import { publicAddress } from '../../platform/config/config';
import type { ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { readingGroups } from '../accounts';

/** More lines than these would be read by nobody on paper; all of them stand in the case. */
const MOST_INDICES = 12;

export interface Sender {
  readonly name: string;
  readonly lines: readonly string[];
  /** A line of text at the foot of the last page. */
  readonly footer?: string;
  readonly phone: string | null;
  readonly demo: boolean;
}

export async function letterheadOf(tx: ActorTx, groupId: string, otherwise: string): Promise<Sender> {
  const group = (await tx.select().from(readingGroups).where(eq(readingGroups.id, groupId)))[0];
  const head = group?.letterhead as { lines?: string[] } | undefined;
  return {
    name: group?.name ?? otherwise,
    lines: head?.lines ?? [],
    phone: group?.phone ?? null,
    demo: group?.demo ?? false,
  };
}

/** Address under which anybody may check a hash. */
export function verifyAt(services: Services): string {
  return `${publicAddress(services.config)}/verify/`;
}

/** The printed pages of a document: the same for the preview and for the paper that is kept. `hash` null: a draft. */
export function opinionPages(
  services: Services,
  document: OpinionDocument,
  interpretation: Interpretation | null,
  sender: Sender,
  hash: string | null,
): Block[] {
  const answers = document.flags.map((f) => ({ ...f, flagKey: f.key }));
  const adds = isAddendum(document.kind);
  return pageModel(
    {
      document,
      hash,
      verifyAt: hash === null ? null : verifyAt(services),
      indices: adds ? [] : printedIndices(interpretation).slice(0, MOST_INDICES),
      letterhead: {
        name: sender.name,
        lines: sender.lines,
        demo: sender.demo,
        footer: sender.footer ?? '',
      },
      flagSentences: adds
        ? []
        : sayPrintedFlags(
            interpretation?.flags ?? [],
            answers,
            sender.phone,
            isScanReport(document.kind) ? 'scanner' : 'reader',
          ),
      sources: adds ? [] : sourcesOf(interpretation),
      checks: adds ? '' : sayPrintedChecks(interpretation),
    },
    printedWords,
  );
}

export function pdfTitle(document: OpinionDocument): string {
  if (isScanReport(document.kind))
    return `${titleOf(document)}, no specialist opinion: ${document.patient.name}, number ${document.referral.number}`;
  const what = document.kind === 'addendum' ? 'Addendum' : 'Cardiology opinion';
  return `${what}: ${document.patient.name}, referral ${document.referral.number}`;
}
