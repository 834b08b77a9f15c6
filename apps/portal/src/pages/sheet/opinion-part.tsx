import type { CaseView, OpinionText, SignedOpinion, Structure } from '@chordae/contract';
import { capital, structureNames } from '@chordae/words';
import { Link } from '@tanstack/react-router';
import { pathOf } from '../../host/api';
import { FramePicture } from '../../kit/frame-picture';
import { sayDay, sayMoment } from '../../kit/time';
import '../../styles/paper.css';
import { clipTitle } from '../clip-title';
import { KeeperPart } from './keeper-part';

const LEVELS = { 'act-now': 'Act now', look: 'Look', note: 'Note' } as const;

/** The signed opinion, what to do first on top. */
export function OpinionPart({ c, mayAct = false }: { c: CaseView; mayAct?: boolean }) {
  if (c.opinions.length === 0) return null;
  return (
    <section className="part opinion" aria-labelledby="p-opinion">
      <h2 id="p-opinion">Opinion</h2>
      {c.opinions.map((o) => (
        <Signed key={o.id} c={c} o={o} mayAct={mayAct} />
      ))}
    </section>
  );
}

function Signed({ c, o, mayAct }: { c: CaseView; o: SignedOpinion; mayAct: boolean }) {
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id, signedId: o.id };
  return (
    <article className="stack" aria-label={o.kind === 'addendum' ? 'Addendum' : 'Signed opinion'}>
      {o.kind === 'addendum' ? (
        <Block title="Addendum" text={o.text.conclusion} strong />
      ) : (
        <OpinionWords c={c} text={o.text} />
      )}
      <p className="hint">
        Signed by {o.signerName}, {sayMoment(o.signedAt)}. SHA-256{' '}
        <Link to="/verify/$sha256" params={{ sha256: o.sha256 }}>
          {o.sha256.slice(0, 16)}…
        </Link>
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
      <KeeperPart c={c} o={o} mayAct={mayAct} />
    </article>
  );
}

/** What was signed, in the order in which it is needed. */
export function OpinionWords({ c, text }: { c: CaseView; text: OpinionText }) {
  const again = [text.recheckOn ? sayDay(text.recheckOn) : '', text.recheckFor].filter((t) => t !== '');
  const now = text.ownFlags.filter((f) => f.level === 'act-now');
  const other = text.ownFlags.filter((f) => f.level !== 'act-now');
  return (
    <>
      {now.map((f) => (
        <div key={f.id} className="notice notice-act-now">
          <p>
            <b>Act now:</b> {f.text}
          </p>
        </div>
      ))}
      <Block title="What to do first" text={text.next} strong />
      <Block title="Conclusion" text={text.conclusion} strong />
      <Block title="Stage" text={text.stage} />
      <Block title="Look again" text={again.join(': ')} />
      <Block title="Not to conclude from this" text={text.notToConclude} />
      <Block title="To scan again" text={text.rescan} />
      <Findings text={text} />
      {text.keyFrames.length > 0 ? (
        <div>
          <h3>Key frames</h3>
          <div className="opinion-frames">
            {text.keyFrames.map((k) => {
              const label = `${clipTitle(c, k.clipId)}, frame ${k.frame + 1}`;
              return (
                <figure key={k.id}>
                  <FramePicture c={c} clipId={k.clipId} frame={k.frame} drawings={k.drawings} label={label} />
                  <figcaption>
                    {k.caption} <span className="hint">{label}</span>
                  </figcaption>
                </figure>
              );
            })}
          </div>
        </div>
      ) : null}
      <Technique c={c} text={text} />
      {other.length > 0 ? (
        <div>
          <h3>Raised by the reader</h3>
          <ul className="plain-list">
            {other.map((f) => (
              <li key={f.id}>
                <b>{LEVELS[f.level]}:</b> {f.text}
              </li>
            ))}
          </ul>
        </div>
      ) : null}
    </>
  );
}

function Technique({ c, text }: { c: CaseView; text: OpinionText }) {
  const notes = text.clipFeedback.filter((f) => f.text.trim() !== '');
  if (text.technique.trim() === '' && notes.length === 0) return null;
  return (
    <div className="stack">
      <div>
        <h3>On technique</h3>
        <p className="pre">{text.technique}</p>
      </div>
      {notes.map((f) => (
        <div key={f.clipId} className={f.frame === null ? undefined : 'paper-note'}>
          {f.frame === null ? null : (
            <FramePicture
              c={c}
              clipId={f.clipId}
              frame={f.frame}
              drawings={f.drawings}
              label={`${clipTitle(c, f.clipId)}, frame ${f.frame + 1}`}
            />
          )}
          <div>
            <p className="hint">{clipTitle(c, f.clipId)}</p>
            <p className="pre">{f.text}</p>
          </div>
        </div>
      ))}
    </div>
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

function Findings({ text }: { text: OpinionText }) {
  return (
    <div>
      <h3>Findings</h3>
      <dl className="facts">
        {(Object.keys(structureNames) as Structure[]).map((structure) => {
          const found = text.findings[structure];
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
