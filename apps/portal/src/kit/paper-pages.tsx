import type { CaseView } from '@chordae/contract';
import type { Block, PrintedFrame } from '@chordae/report';
import '../styles/paper.css';
import { FramePicture } from './frame-picture';
import { LimitLine } from './limit-line';

/** A printed document as a page draws it: the same blocks that the PDF is painted from, in the same order and words. */
export function PaperPages({
  c,
  blocks,
  label,
  whole = false,
}: {
  c: CaseView;
  blocks: readonly Block[];
  label: string;
  /** Shown at its full length, as the page's own content; else in a window of its own. */
  whole?: boolean;
}) {
  return (
    <div
      className={whole ? 'paper paper-whole' : 'paper'}
      role="document"
      aria-label={label}
      tabIndex={whole ? undefined : 0}
    >
      {blocks.map((block, at) => (
        // Blocks have no identity of their own: their place is it.
        <PaperBlock key={`${block.kind}-${at}`} c={c} block={block} />
      ))}
    </div>
  );
}

function PaperBlock({ c, block }: { c: CaseView; block: Block }) {
  switch (block.kind) {
    case 'letterhead':
      return (
        <header className="paper-head">
          <div>
            <p className="paper-name">{block.name}</p>
            {block.demo ? <p>Invented demonstration: no real person, clinic or animal.</p> : null}
          </div>
          <p className="paper-lines">{block.lines.join('\n')}</p>
        </header>
      );
    case 'title':
      return (
        <div>
          <h4 className="paper-title">{block.text}</h4>
          {block.note ? <p>{block.note}</p> : null}
          {block.mark ? <p className="paper-mark">{block.mark}</p> : null}
        </div>
      );
    case 'heading':
      return <h5>{block.text}</h5>;
    case 'paragraph':
      return <p className={block.strong ? 'paper-strong' : 'pre'}>{block.text}</p>;
    case 'act-now':
      return (
        <div className="paper-now">
          <h5>{block.title}</h5>
          {block.lines.map((line) => (
            <p key={line}>{line}</p>
          ))}
        </div>
      );
    case 'facts':
    case 'answers':
      return <Rows rows={block.rows.map(([label, text]) => ({ label, text, quiet: false }))} />;
    case 'findings':
      return (
        <Rows rows={block.rows.map((r) => ({ label: r.structure, text: r.text, quiet: r.quiet }))} lines />
      );
    case 'indices':
      return (
        <ul className="paper-indices">
          {block.rows.map((row) => (
            <li key={row.label}>
              <p>
                <b>{row.label}</b> {row.value}
              </p>
              <LimitLine index={row.index} label={row.sentence} width={230} />
              <p className="paper-small">{row.sentence}</p>
            </li>
          ))}
        </ul>
      );
    case 'key-frames':
      return (
        <div className="paper-frames">
          {block.frames.map((f) => (
            <Frame key={`${f.label} ${f.caption}`} c={c} frame={f} />
          ))}
        </div>
      );
    case 'clip-notes':
      return block.rows.map((row) => (
        <div key={row.label} className={row.frame ? 'paper-note' : undefined}>
          {row.frame ? <Frame c={c} frame={row.frame} bare /> : null}
          <div>
            <p className="paper-small">{row.label}</p>
            <p className="pre">{row.text}</p>
          </div>
        </div>
      ));
    case 'flags':
      return (
        <Rows
          rows={block.rows.map((r) => ({
            label: r.level,
            text: r.answer === '' ? r.sentence : `${r.sentence}\n${r.answer}`,
            quiet: false,
          }))}
        />
      );
    case 'signature':
      return (
        <div className="paper-sign">
          <p className="paper-name">{block.lead}</p>
          <p>{block.at}</p>
          {block.proof.map((line) => (
            <p key={line} className="paper-small">
              {line}
            </p>
          ))}
        </div>
      );
    default:
      return block.lines.map((line) => (
        <p key={line} className="paper-small">
          {line}
        </p>
      ));
  }
}

function Rows({
  rows,
  lines = false,
}: {
  rows: readonly { label: string; text: string; quiet: boolean }[];
  lines?: boolean;
}) {
  return (
    <dl className={lines ? 'paper-rows paper-rows-lined' : 'paper-rows'}>
      {rows.map((row, at) => (
        <div key={`${row.label}-${at}`} className={row.quiet ? 'paper-quiet' : undefined}>
          <dt>{row.label}</dt>
          <dd>{row.text}</dd>
        </div>
      ))}
    </dl>
  );
}

function Frame({ c, frame, bare = false }: { c: CaseView; frame: PrintedFrame; bare?: boolean }) {
  return (
    <figure>
      <FramePicture
        asPaper
        c={c}
        clipId={frame.clipId}
        frame={frame.frame}
        drawings={frame.drawings}
        label={frame.label}
      />
      {bare ? null : (
        <figcaption>
          {frame.caption}
          <span className="paper-small">{frame.label}</span>
        </figcaption>
      )}
    </figure>
  );
}
