import { type CaseView, type ClipRecord, isFilmed } from '@chordae/contract';
import { FILMED_SAYS } from '@chordae/words';
import { useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import { Button } from '../../kit/button';
import { Problem } from '../../kit/notice';

/** Files of a machine are DICOM; any other may have been taken from its screen by a camera. */
const mayBeFilmed = (clip: ClipRecord) => clip.description.format !== 'dicom';

/** Says of a clip that a camera took it from a screen, and lets its sender say so or take it back. */
export function FilmedPart({ c, clip, editing }: { c: CaseView; clip: ClipRecord; editing: boolean }) {
  const { practiceId, id: referralId } = c.referral;
  const [problem, setProblem] = useState<string | null>(null);
  const reread = useRereadCase({ practiceId, referralId });
  const filmed = isFilmed(c.statements, clip.id);
  if (!filmed && !(editing && mayBeFilmed(clip))) return null;
  const say = (source: 'machine-file' | 'filmed-screen') => {
    setProblem(null);
    call('putClipStatement', {
      params: { practiceId, referralId, clipId: clip.id, statementId: uuidv7() },
      body: { kind: 'source', source },
    })
      .then(reread)
      .catch((error: unknown) => setProblem(sentenceOf(error)));
  };
  return (
    <div className="row">
      {filmed ? <p className="hint filmed-mark">{FILMED_SAYS}</p> : null}
      {editing ? (
        <Button look="quiet" onClick={() => say(filmed ? 'machine-file' : 'filmed-screen')}>
          {filmed ? 'It is the machine’s own file' : 'It was filmed from a screen'}
        </Button>
      ) : null}
      {problem ? <Problem>{problem}</Problem> : null}
    </div>
  );
}
