import type { CaseView, SignedOpinion, Structure } from '@chordae/contract';
import { capital, structureNames } from '@chordae/words';
import { pathOf } from '../../host/api';
import { sayMoment } from '../../kit/time';

/** The signed opinion, what to do first on top. */
export function OpinionPart({ c }: { c: CaseView }) {
  if (c.opinions.length === 0) return null;
  return (
    <section className="part opinion" aria-labelledby="p-opinion">
      <h2 id="p-opinion">Opinion</h2>
      {c.opinions.map((o) => (
        <Signed key={o.id} c={c} o={o} />
      ))}
    </section>
  );
}

function Signed({ c, o }: { c: CaseView; o: SignedOpinion }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, signedId: o.id };
  return (
    <article className="stack" aria-label={o.kind === 'addendum' ? 'Addendum' : 'Signed opinion'}>
      {o.kind === 'addendum' ? (
        <Block title="Addendum" text={o.text.conclusion} strong />
      ) : (
        <>
          <Block title="What to do first" text={o.text.next} strong />
          <Block title="Conclusion" text={o.text.conclusion} strong />
          <Block title="Stage" text={o.text.stage} />
          <Block title="To scan again" text={o.text.rescan} />
          <Findings o={o} />
          <Block title="On technique" text={o.text.technique} />
        </>
      )}
      <p className="hint">
        Signed by {o.signerName}, {sayMoment(o.signedAt)}. SHA-256 {o.sha256.slice(0, 16)}…
      </p>
      {o.pdfSha256 ? (
        <p>
          <a className="button button-plain" href={pathOf('opinionPdf', params)} download>
            Download the {o.kind === 'addendum' ? 'addendum' : 'opinion'} (PDF)
          </a>
        </p>
      ) : (
        <p className="hint" role="status">
          The PDF is being made.
        </p>
      )}
    </article>
  );
}

function Block({ title, text, strong = false }: { title: string; text: string; strong?: boolean }) {
  if (text.trim() === '') return null;
  return (
    <div>
      <h3>{title}</h3>
      <p className={strong ? 'answer-text' : 'pre'}>{text}</p>
    </div>
  );
}

function Findings({ o }: { o: SignedOpinion }) {
  return (
    <div>
      <h3>Findings</h3>
      <dl className="facts">
        {(Object.keys(structureNames) as Structure[]).map((structure) => {
          const found = o.text.findings[structure];
          const state = found?.state ?? 'not-assessed';
          return (
            <div key={structure} className={state === 'described' ? 'fact' : 'fact fact-quiet'}>
              <dt>{capital(structureNames[structure])}</dt>
              <dd>
                {state === 'described' ? found?.text : state === 'not-seen' ? 'not seen' : 'not assessed'}
              </dd>
            </div>
          );
        })}
      </dl>
    </div>
  );
}
