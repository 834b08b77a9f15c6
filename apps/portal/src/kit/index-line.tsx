import type { IndexResult } from '@chordae/contract';
import { sayIndex } from '@chordae/words';
import { LimitLine } from './limit-line';

/** An index: its sentence, its limit line, and what stands behind it when unfolded. */
export function IndexLine({ index, width }: { index: IndexResult; width?: number }) {
  const said = sayIndex(index);
  return (
    <li className="index-line">
      <details>
        <summary>
          <span className="index-name">
            <b>{said.short}</b> <span className="index-full">{said.full}</span>
          </span>
          <LimitLine index={index} label={said.sentence} {...(width ? { width } : {})} />
          <span className="index-sentence">{said.sentence}</span>
        </summary>
        <div className="flag-more">
          <p className="arithmetic">{said.arithmetic}</p>
          {said.interval ? <p>Measuring alone spreads it over {said.interval} (95 %).</p> : null}
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
