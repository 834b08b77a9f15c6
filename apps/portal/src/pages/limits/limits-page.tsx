import type { IndexValue, Species } from '@chordae/contract';
import type { LimitEntry } from '@chordae/interpretation';
import { ENGINE_VERSION, limitEntries, limitsCheckedOn, limitsHash } from '@chordae/interpretation';
import { capital, engineChanges, indexNames, nameOf, speciesNames } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { call } from '../../host/api';
import { practicesOf, useMe } from '../../host/session';
import { useTitle } from '../../host/title';
import { Choices, SelectField, TextField, Tick } from '../../kit/field';
import { CautionLine } from '../../kit/notice';
import { LimitCard } from './limit-card';
import '../../styles/limits.css';

const SPECIES = [...new Set(limitEntries.map((l) => l.species))];

function byIndex(species: Species, find: string): [string, LimitEntry[]][] {
  const words = find.trim().toLowerCase();
  const groups = new Map<string, LimitEntry[]>();
  for (const limit of limitEntries) {
    if (limit.species !== species) continue;
    const text = `${nameOf(limit.index)} ${indexNames[limit.index]?.full ?? ''} ${limit.citation} ${limit.population} ${limit.scale ?? ''}`;
    if (words !== '' && !text.toLowerCase().includes(words)) continue;
    groups.set(limit.index, [...(groups.get(limit.index) ?? []), limit]);
  }
  return [...groups];
}

/** Every limit by species and index: formula, picture, source, status, and what changed between versions. */
export function LimitsPage() {
  useTitle('Limits and their sources');
  const { species } = useSearch({ from: '/shell/limits' });
  const go = useNavigate();
  const [find, setFind] = useState('');
  const [practice, setPractice] = useState<string | null>(null);
  const groups = byIndex(species, find);
  const count = groups.reduce((n, [, list]) => n + list.length, 0);
  return (
    <div className="page limits-page">
      <h1>Limits and their sources</h1>
      <p className="lead">
        Each bound that the engine knows, with the population it was made on and how far its source was seen.
        A limit belongs to its formula, its view, its method and its population: none is used for another.
      </p>
      <div className="limits-choose">
        <Choices
          label="Species"
          choices={SPECIES.map((s) => [s, capital(speciesNames[s])] as const)}
          value={species}
          onChoose={(s) => void go({ to: '/limits', search: { species: s as Species }, replace: true })}
        />
        <TextField
          label="Find"
          hint="Index, author, breed or scale"
          type="search"
          value={find}
          onChange={(e) => setFind(e.target.value)}
        />
        <OurPatients practice={practice} onPractice={setPractice} />
      </div>
      <p className="hint" role="status">
        {count} {count === 1 ? 'limit' : 'limits'} of {groups.length}{' '}
        {groups.length === 1 ? 'index' : 'indices'}. Gone through on {limitsCheckedOn}. Engine{' '}
        {ENGINE_VERSION}, limits {limitsHash.slice(0, 12)}.
      </p>
      {groups.map(([index, limits]) => (
        <IndexSection key={index} index={index} limits={limits} practice={practice} />
      ))}
      <Versions />
      <CautionLine />
    </div>
  );
}

/** Whose patients are drawn over the formulas: none unless somebody of a practice wishes it. */
function OurPatients({
  practice,
  onPractice,
}: {
  practice: string | null;
  onPractice: (id: string | null) => void;
}) {
  const practices = practicesOf(useMe());
  const first = practices[0];
  if (!first) return null;
  return (
    <div className="row">
      <Tick
        label="Draw our own patients over the formulas"
        checked={practice !== null}
        onChange={(on) => onPractice(on ? first.id : null)}
      />
      {practice !== null && practices.length > 1 ? (
        <SelectField
          label="Practice"
          choices={practices.map((p) => [p.id, p.name] as const)}
          value={practice}
          onChange={(e) => onPractice(e.target.value)}
        />
      ) : null}
    </div>
  );
}

const NOBODY: readonly IndexValue[] = [];

function IndexSection({
  index,
  limits,
  practice,
}: {
  index: string;
  limits: LimitEntry[];
  practice: string | null;
}) {
  const species = limits[0]?.species ?? 'dog';
  const { data } = useQuery({
    queryKey: ['index-values', practice, species, index],
    enabled: practice !== null,
    queryFn: ({ signal }) =>
      call('indexValues', { params: { practiceId: practice ?? '' }, query: { species, index }, signal }),
  });
  const patients = practice === null ? NOBODY : (data ?? NOBODY);
  return (
    <section className="limit-index" aria-labelledby={`i-${species}-${index}`}>
      <h2 id={`i-${species}-${index}`}>
        {nameOf(index)} <span className="hint">{indexNames[index]?.full ?? ''}</span>
      </h2>
      {practice !== null && data ? (
        <p className="hint">
          {data.length === 0
            ? 'No patient of this practice has it.'
            : `${data.length} of our patients have it.`}
        </p>
      ) : null}
      <div className="limit-cards">
        {limits.map((limit) => (
          <LimitCard key={limit.id} limit={limit} patients={patients} />
        ))}
      </div>
    </section>
  );
}

function Versions() {
  return (
    <section aria-labelledby="versions">
      <h2 id="versions">What changed between versions</h2>
      {engineChanges.map((v) => (
        <details key={v.version} open={v.version === ENGINE_VERSION}>
          <summary>
            Engine {v.version}, {v.on}
          </summary>
          <ul className="small-list">
            {v.changes.map((change) => (
              <li key={change}>{change}</li>
            ))}
          </ul>
        </details>
      ))}
      <p className="hint">
        Open referrals are computed again when the version rises, and the reader is told what differs. A
        signed opinion keeps what it was signed on.
      </p>
    </section>
  );
}
