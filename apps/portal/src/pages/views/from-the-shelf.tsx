import type { ShelfClip, ViewId } from '@chordae/contract';
import { shelfKindNames } from '@chordae/words';
import { useQuery } from '@tanstack/react-query';
import { call, pathOf } from '../../host/api';
import { useMe } from '../../host/session';
import { ClipPlayer } from '../../kit/clip-player';
import { Problem } from '../../kit/notice';
import { sayPatientShort } from '../say-patient';
import '../../styles/practice.css';

/** Real clips that one's readers put beside the drawn examples. Nothing for who is not signed in. */
export function FromTheShelf({ view, kind }: { view: ViewId; kind: 'dog' | 'cat' | 'horse' }) {
  const me = useMe();
  const { data, error } = useQuery({
    queryKey: ['shelf', view],
    queryFn: ({ signal }) => call('listShelf', { query: { view }, signal }),
    enabled: me !== null,
  });
  if (error) return <Problem>{error.message}</Problem>;
  if (!data || data.length === 0) return null;
  // The species that is looked at first; the others help as well.
  const clips = [...data].sort((a, b) => Number(b.species === kind) - Number(a.species === kind));
  return (
    <section aria-labelledby="shelf" className="stack">
      <h2 id="shelf">From the shelf</h2>
      <p className="hint">
        {clips.every((c) => c.demo)
          ? 'Invented demonstration: drawn by computer, no animal. '
          : 'Clips of patients, given by their practices for teaching, with nothing that names them. '}
        For looking, not for measuring.
      </p>
      <ul className="shelf">
        {clips.map((clip) => (
          <Shelved key={clip.id} clip={clip} />
        ))}
      </ul>
    </section>
  );
}

function Shelved({ clip }: { clip: ShelfClip }) {
  return (
    <li className="shelf-clip">
      <ClipPlayer
        url={pathOf('shelfPack', { groupId: clip.groupId, teachingId: clip.id })}
        label={`${shelfKindNames[clip.kind]}: ${clip.title}`}
      />
      <h3>{clip.title}</h3>
      <p className="hint">
        {shelfKindNames[clip.kind]} · {sayPatientShort(clip)}
        {clip.demo ? ' · invented demonstration' : ''}
      </p>
      {clip.words ? <p>{clip.words}</p> : null}
    </li>
  );
}
