import type { CaseView, OpinionDraft } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { judgedViews, proposeFindings } from '@chordae/words';
import { useEffect, useMemo, useRef, useState } from 'react';
import { Button } from '../../kit/button';
import { Conflicts, SavedState } from '../../kit/saved';
import '../../styles/opinion.css';
import '../../styles/paper.css';
import { OpinionFindings } from '../../kit/writing/findings';
import { FoundText } from '../../kit/writing/found-text';
import { KeyFrames } from '../../kit/writing/key-frames';
import { RecheckField, RescanField } from '../../kit/writing/outlook';
import { PhraseArea, PhrasesContext } from '../../kit/writing/phrase-area';
import { usePhrases } from '../../kit/writing/use-phrases';
import { liveInput } from '../sheet/case-input';
import { KeeperField, OwnFlags } from './opinion-extras';
import { ClipNotes } from './opinion-frames';
import { StageField } from './opinion-outlook';
import { SignDialog } from './sign-dialog';
import { onFrameGiven } from './stage-frames';
import { type OpinionWriting, useOpinionWriting } from './use-opinion-writing';

const FIELD_NAMES: Record<string, string> = {
  findings: 'the findings',
  conclusion: 'the conclusion',
  stage: 'the stage',
  next: 'what to do next',
  notToConclude: 'what is not to be concluded',
  rescan: 'what to scan again',
  technique: 'the note on technique',
  clipFeedback: 'the notes on clips',
  keyFrames: 'the key frames',
  ownFlags: 'the flags of your own',
  recheckOn: 'the day to look again',
  recheckFor: 'what to look again for',
  keeperPage: 'the page for the keeper',
};
const nameOf = (field: string) => FIELD_NAMES[field] ?? field;

/** The opinion as it is written. */
export function OpinionPanel({ c, draft }: { c: CaseView; draft: OpinionDraft }) {
  return <OpinionForm c={c} writing={useOpinionWriting(c, draft)} />;
}

/** The same with the writing held above, so that the stage can add frames to it. */
export function OpinionForm({ c, writing }: { c: CaseView; writing: OpinionWriting }) {
  const { shown, change, saved } = writing;
  const [signing, setSigning] = useState(false);
  const phrases = usePhrases(c.referral.groupId ?? '');
  const give = useRef(writing);
  give.current = writing;
  useEffect(
    () =>
      onFrameGiven((what, at) => {
        if (what === 'key-frame') return give.current.addKeyFrame(at);
        give.current.drawOnNote(at);
        return true;
      }),
    [],
  );
  const input = useMemo(
    () => liveInput(c, { measurements: new Map(), answers: new Map(), referral: {}, state: {} }),
    [c],
  );
  const result = useMemo(() => interpret(input), [input]);
  const proposals = useMemo(
    () =>
      proposeFindings({
        species: c.patient.species,
        interpretation: result,
        measurements: c.measurements,
        observations: c.observations,
        judged: judgedViews(c),
        rhythm: input.state.rhythm,
      }),
    [c, input, result],
  );
  return (
    <PhrasesContext.Provider value={phrases}>
      <div
        className="stack opinion-form"
        onKeyDown={(event) => {
          if (event.key !== 'Enter' || !(event.ctrlKey || event.metaKey)) return;
          event.preventDefault();
          setSigning(true);
        }}
      >
        <p className="row opinion-saved">
          <SavedState views={[saved]} />
          <Button look="main" keyHint="Ctrl Enter" onClick={() => setSigning(true)}>
            Sign …
          </Button>
        </p>
        <FoundText writing={writing} nameOf={nameOf} />
        <Conflicts conflicts={saved.conflicts} nameOf={nameOf} onResolve={writing.resolve} />
        <PhraseArea
          label="Conclusion"
          place="conclusion"
          rows={4}
          maxLength={4000}
          value={shown.conclusion}
          onChange={(conclusion) => change(() => ({ conclusion }))}
        />
        <PhraseArea
          label="What to do next"
          place="next"
          rows={3}
          maxLength={4000}
          value={shown.next}
          onChange={(next) => change(() => ({ next }))}
        />
        <StageField stage={shown.stage} result={result} change={change} />
        <RecheckField c={c} draft={shown} change={change} />
        <OpinionFindings findings={shown.findings} proposals={proposals} change={change} />
        <PhraseArea
          label="What these clips and numbers do not allow to conclude"
          place="notToConclude"
          rows={2}
          maxLength={2000}
          value={shown.notToConclude}
          onChange={(notToConclude) => change(() => ({ notToConclude }))}
        />
        <RescanField rescan={shown.rescan} result={result} change={change} />
        <PhraseArea
          label="On technique"
          place="technique"
          rows={2}
          maxLength={2000}
          value={shown.technique}
          onChange={(technique) => change(() => ({ technique }))}
        />
        <ClipNotes c={c} draft={shown} change={change} />
        <KeyFrames c={c} draft={shown} change={change} />
        <OwnFlags draft={shown} change={change} />
        <KeeperField c={c} draft={shown} change={change} />
        {signing ? (
          <SignDialog c={c} draft={shown} settle={writing.settle} onClose={() => setSigning(false)} />
        ) : null}
      </div>
    </PhrasesContext.Provider>
  );
}
