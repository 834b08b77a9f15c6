import type { CaseView, Interpretation, InterpretationInput } from '@chordae/contract';
import { viewNames } from '@chordae/words';
import { useEarlier } from '../../host/use-earlier';
import { ReaderHints } from '../../kit/clip-hints';
import { EngineNewsNotice } from '../../kit/engine-news';
import { IndexLine } from '../../kit/index-line';
import { CautionLine } from '../../kit/notice';
import { OverTime } from '../../kit/over-time';
import { WhatWouldChange } from '../../kit/what-would-change';
import { FlagsPart } from './flags-part';
import { MeasuredPart } from './measured-part';

/** Flags to keep or set aside, every measurement beside the others of its kind, and numbers on their limits. */
export function NumbersPanel({
  c,
  input,
  result,
  mayWrite,
}: {
  c: CaseView;
  input: InterpretationInput;
  result: Interpretation;
  mayWrite: boolean;
}) {
  const earlier = useEarlier(c, input);
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  return (
    <div className="stack">
      <EngineNewsNotice news={c.engineNews} />
      <FlagsPart c={c} result={result} mayWrite={mayWrite} />
      <h3>Measurements</h3>
      <MeasuredPart c={c} mayWrite={mayWrite} />
      <h3>On their limits</h3>
      <ul className="indices">
        {result.indices.map((index) => (
          <IndexLine
            key={index.code}
            index={index}
            width={300}
            earlier={earlier.valuesOf(index.code)}
            changes={earlier.change.changes.filter((x) => x.index === index.code)}
          />
        ))}
      </ul>
      {result.indices.length === 0 ? <p className="hint">No number to judge has been given.</p> : null}
      <OverTime earlier={earlier} place={place} />
      <PictureHints c={c} />
      <WhatWouldChange input={input} />
      <CautionLine />
    </div>
  );
}

/** What the pictures of each clip suggest; beside the numbers, so that no clip jumps when it comes. */
function PictureHints({ c }: { c: CaseView }) {
  const looked = c.clips.filter((clip) => clip.assessment !== null);
  if (looked.length === 0) return null;
  return (
    <>
      <h3>Seen in the pictures</h3>
      {looked.map((clip) => (
        <div key={clip.id}>
          <p className="hint">
            Clip {clip.number}, {clip.view ? viewNames[clip.view] : 'view not named'}
          </p>
          <ReaderHints assessment={clip.assessment} off={c.marksOff} />
        </div>
      ))}
    </>
  );
}
