import type { CaseView, ReportText } from '@chordae/contract';
import { interpret, numbersHashOf } from '@chordae/interpretation';
import { judgedViews, proposeFindings, REPORT_NOT_SPECIALIST, reportFieldNames } from '@chordae/words';
import { useMemo, useState } from 'react';
import { Button } from '../../kit/button';
import { Conflicts, SavedState } from '../../kit/saved';
import { OpinionFindings } from '../../kit/writing/findings';
import { FoundText } from '../../kit/writing/found-text';
import { KeyFrames } from '../../kit/writing/key-frames';
import { RecheckField, RescanField } from '../../kit/writing/outlook';
import { PhraseArea } from '../../kit/writing/phrase-area';
import { addKeyFrame } from '../../kit/writing/text-edits';
import { liveInput } from '../sheet/case-input';
import { ActNowAnswers } from './act-now-answers';
import { ScanColumn } from './scan-column';
import { SignReportDialog } from './sign-report-dialog';
import { type ReportWriting, useReportWriting } from './use-report-writing';

const nameOf = (field: string) => reportFieldNames[field] ?? field;

/** A scan report as it is written, beside the scan. */
export function ReportWriter({ c }: { c: CaseView }) {
  const writing = useReportWriting(c);
  const { shown, change, saved } = writing;
  const [signing, setSigning] = useState(false);
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
        judged: judgedViews(c, 'sender'),
        rhythm: input.state.rhythm,
      }),
    [c, input, result],
  );
  const takeFrame = (at: Parameters<typeof addKeyFrame>[1]): boolean => {
    let room = true;
    change((now) => {
      const fields = addKeyFrame(now, at);
      room = fields !== null;
      return fields ?? {};
    });
    return room;
  };
  return (
    <div className="report-desk">
      <ScanColumn c={c} input={input} result={result} onKeyFrame={takeFrame} />
      <section className="stack opinion-form report-form" aria-label="The report">
        <p className="row report-saved">
          <SavedState views={[saved]} caseId={c.referral.id} />
          <Button look="main" data-key="Ctrl Enter" keyHint="Ctrl Enter" onClick={() => setSigning(true)}>
            Preview and sign …
          </Button>
        </p>
        <p className="hint">{REPORT_NOT_SPECIALIST}</p>
        <FoundText writing={writing} nameOf={nameOf} />
        <Conflicts conflicts={saved.conflicts} nameOf={nameOf} onResolve={writing.resolve} />
        <ActNowAnswers c={c} result={result} answers={shown} change={change} />
        <Texts c={c} writing={writing} />
        <div id="r-findings">
          <OpinionFindings findings={shown.findings} proposals={proposals} change={change} />
        </div>
        <div id="r-open">
          <PhraseArea
            label="What this scan does not allow to conclude"
            place={null}
            rows={2}
            maxLength={2000}
            value={shown.notToConclude}
            onChange={(notToConclude) => change(() => ({ notToConclude }))}
          />
        </div>
        <RescanField rescan={shown.rescan} result={result} change={change} />
        <KeyFrames
          c={c}
          draft={shown}
          change={change}
          from="None yet. Hold the clip on a frame and take it from there."
        />
      </section>
      {signing ? (
        <SignReportDialog
          c={c}
          writing={writing}
          flags={result.flags}
          numbersHash={numbersHashOf(input)}
          onClose={() => setSigning(false)}
        />
      ) : null}
    </div>
  );
}

/** What the practice reads first: the conclusion, what to do, when to look again. */
function Texts({ c, writing }: { c: CaseView; writing: ReportWriting }) {
  const { shown, change } = writing;
  const set = (fields: Partial<ReportText>) => change(() => fields);
  return (
    <div id="r-texts" className="stack">
      <PhraseArea
        label="Conclusion"
        place={null}
        rows={4}
        maxLength={4000}
        value={shown.conclusion}
        onChange={(conclusion) => set({ conclusion })}
      />
      <PhraseArea
        label="What to do next"
        place={null}
        rows={3}
        maxLength={4000}
        value={shown.next}
        onChange={(next) => set({ next })}
      />
      <RecheckField c={c} draft={shown} change={change} />
    </div>
  );
}
