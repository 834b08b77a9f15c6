import type { Interpretation } from '@chordae/contract';
import type { Block, OpinionDocument } from '@chordae/report';
import { eq } from 'drizzle-orm';
import type { ActorTx } from '../../platform/db/database';
import type { Services } from '../../platform/services';
import { listAgreements, paperHeadOf, practices } from '../accounts';
import { maskedFramePng } from '../clips';
import { opinionPages, paintPdf, pdfTitle, picturesOf, type Sender } from '../signatures';
import type { ReportPlace } from './scan-reports.repository';

/** The practice as it heads its own paper. */
export async function practiceSender(
  tx: ActorTx,
  practiceId: string,
  wantedGroupId: string | null,
): Promise<Sender> {
  const practice = (await tx.select().from(practices).where(eq(practices.id, practiceId)))[0];
  return {
    name: practice?.name ?? '',
    ...paperHeadOf(practice?.letterhead, practice?.phone ?? ''),
    phone: await readersPhone(tx, practiceId, wantedGroupId),
    demo: practice?.demo ?? false,
  };
}

/** Whom to call where a flag says so: the readers that were chosen, or the only ones there are. */
async function readersPhone(
  tx: ActorTx,
  practiceId: string,
  wantedGroupId: string | null,
): Promise<string | null> {
  const mine = (await listAgreements(tx)).filter((a) => a.practiceId === practiceId);
  const chosen = mine.find((a) => a.groupId === wantedGroupId) ?? (mine.length === 1 ? mine[0] : undefined);
  return chosen && chosen.groupPhone !== '' ? chosen.groupPhone : null;
}

/** The printed pages, and the PDF painted from them. Pictures carry what hides a name: the paper may go anywhere. */
export async function paintReport(
  services: Services,
  at: ReportPlace,
  paper: {
    readonly document: OpinionDocument;
    readonly interpretation: Interpretation | null;
    readonly sender: Sender;
    readonly hash: string | null;
    readonly at: Date;
  },
): Promise<Buffer> {
  const blocks = reportPages(services, paper);
  const pictures = await picturesOf(services, at.practiceId, at.referralId, blocks, maskedFramePng);
  const meta = { title: pdfTitle(paper.document), author: paper.document.signer.name, at: paper.at };
  return paintPdf(blocks, meta, pictures);
}

/** The page model of a report: the same for the preview and for the paper that is kept. */
export function reportPages(
  services: Services,
  paper: {
    readonly document: OpinionDocument;
    readonly interpretation: Interpretation | null;
    readonly sender: Sender;
    readonly hash: string | null;
  },
): Block[] {
  return opinionPages(services, paper.document, paper.interpretation, paper.sender, paper.hash);
}
