import type { IndexChange, IndexResult } from '@chordae/contract';
import { sayChange, sayChangeCaution, sayIndex } from '@chordae/words';
import { RestsOn } from './frame-link';
import { LimitLine } from './limit-line';

/** An index: its sentence, its limit line with the earlier scans paler behind, and what stands behind it when unfolded. */
export function IndexLine({
  index,
  width,
  earlier = [],
  changes = [],
}: {
  index: IndexResult;
  width?: number;
  earlier?: readonly { value: number }[];
  changes?: readonly IndexChange[];
}) {
  const said = sayIndex(index);
  const real = changes.filter((c) => c.verdict === 'beyond-error');
  return (
    <li className="index-line">
      <details>
        <summary>
          <span className="index-name">
            <b>{said.short}</b> <span className="index-full">{said.full}</span>
          </span>
          <LimitLine index={index} label={said.sentence} earlier={earlier} {...(width ? { width } : {})} />
          <span className="index-sentence">{said.sentence}</span>
          {real.map((change) => (
            <span key={change.against} className="index-change">
              {sayChange(change)}
            </span>
          ))}
        </summary>
        <div className="flag-more">
          <p className="arithmetic">{said.arithmetic}</p>
          <RestsOn ids={index.measurementIds} />
          {said.interval ? <p>Measuring alone spreads it over {said.interval} (95 %).</p> : null}
          {changes.map((change) => (
            <p key={change.against}>
              {/* What is more than measuring error stands above already. */}
              {[
                ...(real.includes(change) ? [] : [sayChange(change)]),
                ...change.cautions.map(sayChangeCaution),
              ].join(' ')}
            </p>
          ))}
          <ul>
            {said.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
          {said.limits.map((limit) => (
            <p key={limit} className="source">
              {limit}
            </p>
          ))}
        </div>
      </details>
    </li>
  );
}
