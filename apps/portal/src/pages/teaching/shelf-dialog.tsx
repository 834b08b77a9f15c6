import { type CaseView, horseViews, type ShelfKind, smallAnimalViews, type ViewId } from '@chordae/contract';
import { shelfKindNames, viewNames } from '@chordae/words';
import { useState } from 'react';
import { call, pathOf, sentenceOf } from '../../host/api';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { ClipPlayer } from '../../kit/clip-player';
import { Dialog } from '../../kit/dialog';
import { Choices, SelectField, TextArea, TextField, Tick } from '../../kit/field';
import { Problem } from '../../kit/notice';

/** One clip for the shelf: where it stands, what it shows, and the look at the picture that nobody else takes. */
export function ShelfDialog({
  groupId,
  place,
  clip,
  onClose,
  reread,
}: {
  groupId: string;
  place: { practiceId: string; referralId: string };
  clip: CaseView['clips'][number];
  onClose: () => void;
  reread: () => Promise<void>;
}) {
  const [view, setView] = useState<ViewId | ''>(clip.view && clip.view !== 'other' ? clip.view : '');
  const [kind, setKind] = useState<ShelfKind | null>(null);
  const [title, setTitle] = useState('');
  const [words, setWords] = useState('');
  const [looked, setLooked] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const [teachingId] = useState(uuidv7);
  const put = async () => {
    setProblem(null);
    if (view === '') return setProblem('Choose the view under which it stands.');
    if (kind === null)
      return setProblem('Say whether it shows the usual, something to avoid, or a changed heart.');
    if (title.trim() === '') return setProblem('Give it a title.');
    if (!looked) return setProblem('Look at the picture first, and say that nothing in it names anybody.');
    try {
      await call('putShelfClip', {
        params: { groupId, teachingId },
        body: { ...place, clipId: clip.id, view, kind, title, words, nothingNamed: true },
      });
      await reread();
      onClose();
    } catch (error) {
      setProblem(sentenceOf(error));
    }
  };
  return (
    <Dialog title="Put on the shelf" onClose={onClose} wide>
      <div className="shelf-look">
        <ClipPlayer
          url={pathOf('clipPack', { ...place, clipId: clip.id })}
          label="The clip as the shelf will show it"
        />
      </div>
      <SelectField
        label="View"
        choices={[
          ['', 'choose'],
          ...[...smallAnimalViews, ...horseViews].map((v) => [v, viewNames[v]] as const),
        ]}
        value={view}
        onChange={(e) => setView(e.target.value as ViewId | '')}
      />
      <Choices
        label="What it shows"
        choices={(['usual', 'error', 'changed'] as const).map((k) => [k, shelfKindNames[k]] as const)}
        value={kind}
        onChoose={(k) => setKind(k as ShelfKind)}
      />
      <TextField
        label="Title"
        value={title}
        maxLength={120}
        hint="No name of patient, keeper, practice or colleague."
        onChange={(e) => setTitle(e.target.value)}
      />
      <TextArea
        label="What to look at"
        rows={3}
        maxLength={1000}
        value={words}
        onChange={(e) => setWords(e.target.value)}
      />
      <Tick
        label="I have looked: no name, number or date stands in the picture or in these words."
        checked={looked}
        onChange={setLooked}
      />
      {problem ? <Problem>{problem}</Problem> : null}
      <p className="row">
        <Button look="main" onClick={() => void put()}>
          Put on the shelf
        </Button>
      </p>
    </Dialog>
  );
}
