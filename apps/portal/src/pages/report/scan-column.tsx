import type { CaseView, Interpretation, InterpretationInput } from '@chordae/contract';
import { capital, sayChecks } from '@chordae/words';
import { type KeyboardEvent, useState } from 'react';
import { useEarlier } from '../../host/use-earlier';
import { Button } from '../../kit/button';
import { ClipPlayer } from '../../kit/clip-player';
import { ClipThumb } from '../../kit/clip-thumb';
import { FlagSentence } from '../../kit/flag';
import { IndexLine } from '../../kit/index-line';
import { CautionLine } from '../../kit/notice';
import type { FrameOnStage } from '../../kit/writing/text-edits';
import { JudgeDialog, judgementOf } from '../desk/judge-dialog';
import { packUrl } from '../pack-url';
import { clipLabel } from '../sheet/clips-part';
import { CompletenessPart } from '../sheet/completeness-part';

const TABS = ['Clips', 'Numbers', 'Views'] as const;
type Tab = (typeof TABS)[number];

/** What the report is written from: the clips, the numbers on their limits, the views. One at a time, beside the text. */
export function ScanColumn({
  c,
  input,
  result,
  onKeyFrame,
}: {
  c: CaseView;
  input: InterpretationInput;
  result: Interpretation;
  /** Puts a frame into the report; null: nothing is written here. false: there is no room for another. */
  onKeyFrame: ((at: FrameOnStage) => boolean) | null;
}) {
  const [tab, setTab] = useState<Tab>('Clips');
  return (
    <section className="report-scan" aria-label="The scan">
      <div
        className="tabs"
        role="tablist"
        aria-label="The scan"
        onKeyDown={(event) => {
          const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
          if (step === 0) return;
          event.preventDefault();
          const at = (TABS.indexOf(tab) + step + TABS.length) % TABS.length;
          setTab(TABS[at] ?? 'Clips');
          event.currentTarget.querySelectorAll('button')[at]?.focus();
        }}
      >
        {TABS.map((name, n) => (
          <button
            key={name}
            type="button"
            role="tab"
            id={`scan-tab-${n}`}
            aria-selected={tab === name}
            aria-controls="scan-tab"
            data-key={`Alt ${name.charAt(0)}`}
            onClick={() => setTab(name)}
          >
            {name}
            <kbd aria-hidden="true" className="key">
              Alt {name.charAt(0)}
            </kbd>
          </button>
        ))}
      </div>
      <div
        className="report-scan-body"
        role="tabpanel"
        id="scan-tab"
        aria-labelledby={`scan-tab-${TABS.indexOf(tab)}`}
        tabIndex={0}
      >
        {/* The clip goes on playing where it was when one comes back to it. */}
        <div hidden={tab !== 'Clips'}>
          <Clips c={c} onKeyFrame={onKeyFrame} />
        </div>
        {tab === 'Numbers' ? <Numbers c={c} input={input} result={result} /> : null}
        {tab === 'Views' ? <CompletenessPart result={result} species={c.patient.species} /> : null}
      </div>
    </section>
  );
}

function Clips({ c, onKeyFrame }: { c: CaseView; onKeyFrame: ((at: FrameOnStage) => boolean) | null }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [judging, setJudging] = useState(false);
  const [said, setSaid] = useState('');
  const at = Math.max(
    0,
    c.clips.findIndex((clip) => clip.id === chosen),
  );
  const clip = c.clips[at];
  if (!clip)
    return <p className="empty">No clip has come yet. The report can be written on what was measured.</p>;
  const go = (by: number) => {
    setSaid('');
    setChosen(c.clips[(at + by + c.clips.length) % c.clips.length]?.id ?? null);
  };
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'PageDown' || event.key === ']') go(1);
    else if (event.key === 'PageUp' || event.key === '[') go(-1);
    else if (event.key.toLowerCase() === 'j' && onKeyFrame) setJudging(true);
    else if (event.key.toLowerCase() === 'f' && onKeyFrame)
      event.currentTarget.querySelector<HTMLButtonElement>('[data-key="F"]')?.click();
    else return;
    event.preventDefault();
  };
  const judged = judgementOf(c.statements, clip.id, c.side === 'group' ? 'reader' : 'sender');
  return (
    <div className="stack-tight">
      <div
        className="report-player"
        tabIndex={0}
        role="group"
        aria-label={`${capital(clipLabel(clip))}, keys act here`}
        onKeyDown={onKey}
      >
        <ClipPlayer
          key={clip.id}
          url={packUrl(c, clip.id)}
          label={clipLabel(clip)}
          tools={(frame, hold) =>
            onKeyFrame ? (
              <p className="row report-frame-tools">
                <Button
                  keyHint="F"
                  data-key="F"
                  onClick={() => {
                    hold();
                    const done = onKeyFrame({ clipId: clip.id, frame, drawings: [] });
                    setSaid(
                      done
                        ? `Frame ${frame + 1} of clip ${clip.number} is a key frame now.`
                        : 'There is no room for another key frame: take one out first.',
                    );
                  }}
                >
                  Take as key frame
                </Button>
                <Button keyHint="J" onClick={() => setJudging(true)}>
                  {judged ? 'Judge again' : 'Judge the view'}
                </Button>
              </p>
            ) : null
          }
        />
      </div>
      <p className="hint" role="status">
        {said}
      </p>
      <p className="hint">
        <b>{capital(clipLabel(clip))}</b>
        {judged
          ? `; judged ${judged.judged === 'adequate' ? 'adequate' : judged.judged === 'doubtful' ? 'doubtful' : 'not usable'}${judged.why ? `: ${judged.why}` : ''}`
          : onKeyFrame
            ? '; not judged yet: a sentence is proposed only where the view was judged'
            : ''}
        {clip.mask === 'needs-decision'
          ? '. It may show a name: its frames are not printed until that is decided on the sheet.'
          : '.'}
      </p>
      {c.clips.length > 1 ? (
        <>
          <ul className="report-strip" aria-label="All clips">
            {c.clips.map((other) => (
              <li key={other.id}>
                <button
                  type="button"
                  className="strip-clip"
                  aria-pressed={other.id === clip.id}
                  aria-label={`Show ${clipLabel(other)}`}
                  onClick={() => setChosen(other.id)}
                >
                  <ClipThumb url={packUrl(c, other.id)} label={`First frame of clip ${other.number}`} />
                  <span>{other.number}</span>
                </button>
              </li>
            ))}
          </ul>
          <p className="hint keys-hint">
            On the clip: <kbd className="key">[</kbd> <kbd className="key">]</kbd> the one before and the
            next.
          </p>
        </>
      ) : null}
      {judging ? <JudgeDialog c={c} clip={clip} onClose={() => setJudging(false)} /> : null}
    </div>
  );
}

function Numbers({ c, input, result }: { c: CaseView; input: InterpretationInput; result: Interpretation }) {
  const earlier = useEarlier(c, input);
  const others = result.flags.filter((f) => f.level !== 'act-now');
  return (
    <div className="stack">
      <p className="checks">{sayChecks(result.flags.length, result.checks)}</p>
      {others.length > 0 ? (
        <ul className="flags" aria-label="Flags">
          {others.map((flag) => (
            <FlagSentence key={flag.key} flag={flag} context={{ phone: c.agreement?.groupPhone ?? null }} />
          ))}
        </ul>
      ) : null}
      {result.indices.length === 0 ? (
        <p className="hint">No number to judge has been given.</p>
      ) : (
        <ul className="indices">
          {result.indices.map((index) => (
            <IndexLine
              key={index.code}
              index={index}
              earlier={earlier.valuesOf(index.code)}
              changes={earlier.change.changes.filter((x) => x.index === index.code)}
            />
          ))}
        </ul>
      )}
      <CautionLine />
    </div>
  );
}
