import type { CaseView } from '@chordae/contract';
import { pathOf } from '../../host/api';
import { usePaper } from '../../host/use-paper';
import { Loading, Problem } from '../../kit/notice';
import { PaperPages } from '../../kit/paper-pages';

/** The pages as they will be printed: the same blocks that the PDF is painted from, in the same order and words. */
export function OpinionPreview({ c, settle }: { c: CaseView; settle: () => Promise<number> }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const { blocks, problem } = usePaper(pathOf('previewPdf', params), settle);
  return (
    <section className="stack-tight" aria-labelledby="preview">
      <div className="preview-head">
        <h3 id="preview">As it will be printed</h3>
        <a href={pathOf('previewPdf', params)} target="_blank" rel="noreferrer">
          Open as PDF
        </a>
      </div>
      {problem ? <Problem>{problem}</Problem> : null}
      {!blocks && !problem ? <Loading what="the pages" /> : null}
      {blocks ? <PaperPages c={c} blocks={blocks} label="The opinion as it will be printed" /> : null}
    </section>
  );
}
