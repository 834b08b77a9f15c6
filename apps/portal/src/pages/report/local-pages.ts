import { type CaseView, isFilmed, opinionTextOf, type PaperHead, type ReportText } from '@chordae/contract';
import { interpret, standing } from '@chordae/interpretation';
import { type Block, opinionDocument, pageModel, printedIndices } from '@chordae/report';
import { printedWords, sayPrintedChecks, sayPrintedFlags, sourcesOf } from '@chordae/words';
import { standingViewId } from '../clip-title';
import { liveInput } from '../sheet/case-input';

/** As many as the server prints. */
const MOST_INDICES = 12;

/** The report's pages as this device makes them, from the same model as the server's: for where no network is. */
export function localPages(
  c: CaseView,
  text: ReportText,
  signer: { readonly name: string; readonly role: 'sonographer' | 'referring-vet'; readonly demo: boolean },
  paper: PaperHead,
  nowIso: string,
): Block[] {
  const result = interpret(
    liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }),
  );
  const practice = c.referral.practiceName;
  const document = opinionDocument({
    kind: 'scan-report',
    text: opinionTextOf(text),
    patient: c.patient,
    signer: { name: signer.name, group: practice, role: signer.role },
    signedAt: nowIso,
    scannedOn: c.scans.at(-1)?.scannedOn ?? null,
    clips: c.clips.map((clip) => ({
      id: clip.id,
      number: clip.number,
      view: standingViewId(c, clip),
      filmed: isFilmed(c.statements, clip.id),
    })),
    referral: {
      number: c.referral.number,
      practice,
      question: c.referral.question,
      plan: c.referral.plan,
      sentAt: null,
    },
    interpretation: result,
    standing: standing(c.measurements),
    flagAnswers: text.flagAnswers,
    addsTo: null,
  });
  return pageModel(
    {
      document,
      hash: null,
      verifyAt: null,
      indices: printedIndices(result).slice(0, MOST_INDICES),
      letterhead: { name: practice, ...paper, demo: signer.demo },
      flagSentences: sayPrintedFlags(
        result.flags,
        text.flagAnswers,
        c.agreement?.groupPhone ?? null,
        'scanner',
      ),
      sources: sourcesOf(result),
      checks: sayPrintedChecks(result),
    },
    printedWords,
  );
}
