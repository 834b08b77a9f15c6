import type { IndexValue } from '@chordae/contract';
import type { LimitEntry } from '@chordae/interpretation';
import { breeds } from '@chordae/interpretation';
import { LimitCurve } from './limit-curve';
import { boundsText, gradesText, ROLES, STATUS } from './limit-text';

const breedNames = new Map(breeds.map((b) => [`${b.species}:${b.code}`, b.name]));

function validFor(limit: LimitEntry): string {
  const parts: string[] = [];
  if (limit.breeds)
    parts.push(limit.breeds.map((b) => breedNames.get(`${limit.species}:${b}`) ?? b).join(', '));
  else if (limit.scope === 'general-dog') parts.push('dogs, outlying breeds excepted');
  else if (limit.scope === 'general-cat') parts.push('cats');
  else parts.push('all of this species');
  if (limit.maxKgBelow !== undefined) parts.push(`below ${limit.maxKgBelow} kg`);
  if (limit.chosenBecause === 'weight') parts.push('by body weight');
  return parts.join('; ');
}

/** One limit: what it says, for whom, from where, how far it was seen, and its picture over the body weight. */
export function LimitCard({ limit, patients }: { limit: LimitEntry; patients: readonly IndexValue[] }) {
  const grades = gradesText(limit);
  return (
    <article className={`limit-card limit-${limit.role}`}>
      <p className="limit-bounds">{boundsText(limit)}</p>
      {grades ? (
        <p>
          Scale ‘{limit.scale}’: {grades}.
        </p>
      ) : null}
      <LimitCurve limit={limit} patients={patients} />
      <dl className="limit-facts">
        <dt>Used</dt>
        <dd>{ROLES[limit.role]}</dd>
        <dt>Valid for</dt>
        <dd>{validFor(limit)}</dd>
        <dt>Population</dt>
        <dd>{limit.population}</dd>
        <dt>Source</dt>
        <dd className="source">
          {limit.citation}
          {limit.doi ? `, doi ${limit.doi}` : ''}
        </dd>
        <dt>Status</dt>
        <dd>{STATUS[limit.status]}</dd>
      </dl>
      {limit.note ? <p className="hint">{limit.note}</p> : null}
    </article>
  );
}
