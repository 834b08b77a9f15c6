import type { CaseView, ClipRecord } from '@chordae/contract';
import { viewNames } from '@chordae/words';
import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react';
import { warmFrames } from '../../host/clips/clip-frames';
import type { Greys } from '../../host/clips/greys';
import { PLAIN_GREYS } from '../../host/clips/greys';
import { StageClock } from '../../host/clips/stage-clock';
import { wantsStillness } from '../../host/clips/use-player';
import { ClipThumb } from '../../kit/clip-thumb';
import { packUrl } from '../pack-url';
import { ArrivingStills } from './arriving-stills';
import { readingsOf } from './canvas/reading';
import { isDrawing } from './canvas/session';
import type { DeskKeys } from './desk-keys';
import { DEFAULT_KEYS, showKey } from './desk-keys';
import type { TileHandle } from './desk-tile';
import { DeskTile } from './desk-tile';
import { GreysBar } from './greys-bar';
import { wantedSteps } from './guided';
import { GuidedLine } from './guided-line';
import { JudgeDialog } from './judge-dialog';
import { KeysOverlay } from './keys-overlay';
import { MeasureBar } from './measure-bar';
import { OutlineBar } from './outline-bar';
import { rulerRowsOf, ScaleAsk, ScaleByPoints, useRuler } from './scale-bar';
import { scaleState } from './scale-state';
import { onShowFrame } from './show-frame';
import { stageActions } from './stage-actions';
import { StageBar } from './stage-bar';
import type { StageClip } from './stage-clip';
import { stageClip } from './stage-clip';
import { ToolBar } from './tool-bar';
import { useGuided } from './use-guided';
import { useMeasuring } from './use-measuring';
import { useShown } from './use-shown';
import { useStageKeys } from './use-stage-keys';

// The page of the desk was asked for: its clips come next.
if (typeof Worker !== 'undefined') warmFrames();

const NO_ROWS = null;
const NOTHING: readonly never[] = [];

/** The clips of a case side by side, and the tools that measure on them; all of it by keyboard. */
export function Stage({
  c,
  mayWrite,
  keys = DEFAULT_KEYS,
}: {
  c: CaseView;
  mayWrite: boolean;
  keys?: DeskKeys;
}) {
  const [clock] = useState(() => new StageClock(!wantsStillness()));
  const { mode, playing } = useSyncExternalStore(clock.subscribe, clock.read);
  const shown = useShown(c);
  const [chosen, setChosen] = useState(1);
  const [says, setSays] = useState<string | null>(null);
  const [help, setHelp] = useState(false);
  const [judging, setJudging] = useState<ClipRecord | null>(null);
  const [greysOpen, setGreysOpen] = useState(false);
  const [greys, setGreys] = useState<Readonly<Record<string, Greys>>>({});
  const tiles = useRef(new Map<number, TileHandle>());
  const clips = useMemo(
    () => new Map(c.clips.map((clip) => [clip.id, stageClip(c, clip).measured])),
    [c.clips, c.statements],
  );
  const at = shown.tiles[chosen - 1] ?? null;
  const measuring = useMeasuring(c, clips, {
    camera: { scale: 1, offsetX: 0, offsetY: 0 },
    tile: { width: 0, height: 0 },
    clipId: '',
    frame: 0,
    overTime: () => false,
  });
  const { session } = measuring;
  const guided = useGuided({ c, shown, clock, measuring, setChosen, setSays });
  const scale = at ? scaleState(at.measured) : 'there';
  const asksScale =
    session !== null && session.tool !== 'calibration' && scale !== 'there' && at?.kind === 'today';
  // Only the sector left the practice: of the depth scale beside it only its numbers did, so it is drawn again.
  const rulerCovered = at?.clip?.mask === 'fan';
  const ruler = useRuler(c, at?.clip ?? null, asksScale || rulerCovered);
  const rulerRows = useMemo(() => rulerRowsOf(ruler), [ruler]);

  const section = useRef<HTMLElement>(null);
  // Small pictures wait for the large ones.
  const [strip, setStrip] = useState(false);
  useEffect(() => {
    const later = setTimeout(() => setStrip(true), 900);
    return () => clearTimeout(later);
  }, []);
  useEffect(() => {
    // For whoever watches how it plays: frames shown, due, and due but not decoded, of this run.
    const told = setInterval(() => {
      const { presented, expected, missing } = clock.figures();
      if (section.current) section.current.dataset['shown'] = `${presented}/${expected}/${missing}`;
    }, 1000);
    return () => {
      clearInterval(told);
      clock.close();
    };
  }, [clock]);
  const choose = (place: number): boolean => {
    if (place > shown.tiles.length) return false;
    if (place !== chosen) {
      measuring.leaveTile();
      setSays(null);
      setChosen(place);
    }
    return true;
  };
  const open = (place: number, clip: StageClip, frame: number | null) => {
    if (shown.tiles[place - 1]?.key !== clip.key) shown.put(place, clip);
    setChosen(place);
    if (frame !== null) setTimeout(() => clock.goTo(place, frame), 0);
  };
  useEffect(() =>
    onShowFrame(({ clipId, frame }) => {
      const clip = c.clips.find((x) => x.id === clipId);
      if (!clip) return;
      const there = shown.tiles.findIndex((t) => t.id === clipId);
      measuring.leaveTile();
      open(there >= 0 ? there + 1 : chosen, stageClip(c, clip), frame);
    }),
  );
  const act = stageActions({
    c,
    mayWrite,
    clock,
    measuring,
    guided,
    shown,
    chosen,
    at,
    tile: () => tiles.current.get(chosen) ?? null,
    open,
    setSays,
    setHelp,
    judge: setJudging,
    drawnNow: () => (session ? session.document.drawings.flatMap((d) => readingsOf(d, clips)) : []),
    greys: at ? (greys[at.key] ?? PLAIN_GREYS) : PLAIN_GREYS,
    setGreys: (next) => at && setGreys((all) => ({ ...all, [at.key]: next })),
    toggleGreys: () => setGreysOpen((now) => !now),
  });
  const panning = useStageKeys({
    keys,
    act,
    choose,
    nudge: (dx, dy) => {
      const tile = tiles.current.get(chosen);
      const { state } = session ?? {};
      if (!session || !tile || playing || !state) return false;
      if (state.name === 'idle' && !state.cross) return false;
      measuring.send({ kind: 'nudge', dx, dy }, tile.place());
      return true;
    },
  });
  // The tiles are drawn anew only when what they show changes: their handlers stay the same.
  const latest = useRef({ choose, onTool: measuring.send, act });
  latest.current = {
    choose,
    act,
    onTool: (event, place) => {
      if (event.kind === 'press' && clock.read().playing) return clock.hold();
      if (event.kind === 'press' && !clips.has(place.clipId))
        return setSays('Only clips of this referral are measured here.');
      return measuring.send(event, place);
    },
  };
  const onChoose = useCallback((place: number) => void latest.current.choose(place), []);
  const onTool = useCallback<typeof measuring.send>(
    (event, place) => latest.current.onTool(event, place),
    [],
  );
  const register = useCallback((place: number, handle: TileHandle | null) => {
    if (handle) tiles.current.set(place, handle);
    else tiles.current.delete(place);
  }, []);
  const measured = useMemo(() => {
    const standing = c.measurements.filter((m) => m.geometry && !m.supersededById && !m.withdrawn);
    return (id: string) =>
      standing.filter((m) => m.geometry?.clipId === id || m.geometry?.second?.clipId === id);
  }, [c.measurements]);
  const byClip = useMemo(
    () => new Map(shown.tiles.map((t) => [t.id, measured(t.id)])),
    [measured, shown.tiles],
  );
  const drawnOn = (id: string) =>
    session?.document.drawings.some((d) => d.parts.some((p) => p.clipId === id)) ?? false;
  const left = wantedSteps(c.referral.plan, c.patient.species, c.measurements).filter((s) => !s.done).length;
  return (
    <section className={mayWrite ? 'stage stage-writes' : 'stage'} aria-label="Clips" ref={section}>
      {shown.tiles.length === 0 && c.firstFrames.length === 0 ? (
        <p className="stage-empty">
          {c.arriving > 0
            ? `${c.arriving} files are still on their way.`
            : 'No clip has come with this referral.'}
        </p>
      ) : null}
      <div className={`tiles tiles-${shown.tiles.length}`}>
        {shown.tiles.map((tile, n) => (
          <DeskTile
            // A clip that changes its place begins anew there.
            key={`${n}-${tile.key}`}
            shown={tile}
            place={n + 1}
            species={c.patient.species}
            chosen={n + 1 === chosen}
            clock={clock}
            session={session && (n + 1 === chosen || drawnOn(tile.id)) ? session : null}
            clips={clips}
            measured={byClip.get(tile.id) ?? NOTHING}
            greys={greys[tile.key] ?? PLAIN_GREYS}
            rulerRows={(asksScale || rulerCovered) && n + 1 === chosen ? rulerRows : NO_ROWS}
            onChoose={onChoose}
            onTool={onTool}
            panning={panning}
            register={register}
          />
        ))}
      </div>
      <ArrivingStills c={c} />
      {shown.tiles.length > 0 || says ? (
        <div className="dock">
          <div className="dock-main">
            {says ? (
              <p className="stage-says" role="alert">
                {says}
              </p>
            ) : null}
            {mayWrite ? (
              <GuidedLine
                step={guided.step}
                left={left}
                note={guided.note}
                keyHint={showKey(keys['next-wanted'])}
                onNext={() => guided.goOn(chosen)}
              />
            ) : null}
            {asksScale && at ? (
              <ScaleAsk
                implausible={scale === 'implausible'}
                filmed={at.measured.filmed ?? null}
                ruler={ruler}
                covered={rulerCovered}
                keys={keys}
                onScale={(said) => void measuring.say(at.id, { kind: 'calibration', ...said })}
                onTwoPoints={() => act('tool-calibration')}
              />
            ) : null}
            {session?.tool === 'calibration' && at ? (
              <ScaleByPoints
                refused={measuring.problem}
                session={session}
                onScale={(said) =>
                  void measuring.say(at.id, { kind: 'calibration', ...said }).then((ok) => {
                    if (ok) measuring.begin('length');
                  })
                }
                onLetGo={() => measuring.stop()}
              />
            ) : session?.tool === 'cavity' && at ? (
              <OutlineBar
                session={session}
                keys={keys}
                problem={measuring.problem}
                onKeep={() => act('keep')}
                onStep={(kind) => act(kind === 'cancel' ? 'let-go' : kind)}
              />
            ) : session && at?.clip ? (
              <MeasureBar
                c={c}
                clip={at.clip}
                clips={clips}
                session={session}
                keys={keys}
                code={measuring.code}
                problem={measuring.problem}
                kept={measuring.kept}
                onCode={measuring.setCode}
                onKeep={(replaces) => void measuring.keep(replaces)}
                onStep={(kind) => act(kind === 'cancel' ? 'let-go' : kind === 'complete' ? 'keep' : kind)}
              />
            ) : (
              <StageBar
                keys={keys}
                mode={mode}
                inPhase={shown.tiles.some(
                  (t) => t.cycle.rWaveTimesMs.length > 1 || t.cycle.marks || t.cycle.suggested,
                )}
                mayWrite={mayWrite}
                act={act}
              />
            )}
            {greysOpen && at ? (
              <GreysBar
                greys={greys[at.key] ?? PLAIN_GREYS}
                place={chosen}
                onChange={(next) => setGreys((all) => ({ ...all, [at.key]: next }))}
                onClose={() => setGreysOpen(false)}
              />
            ) : null}
            {mayWrite && shown.tiles.length > 0 && !greysOpen ? (
              <ToolBar keys={keys} at={session?.tool ?? null} onTool={(tool) => act(`tool-${tool}`)} />
            ) : null}
          </div>
          {c.clips.length > 1 ? (
            <ul className="desk-strip" aria-label="Choose clips">
              {c.clips.map((other) => (
                <li key={other.id}>
                  <button
                    type="button"
                    aria-pressed={shown.tiles.some((t) => t.id === other.id)}
                    aria-label={`Clip ${other.number} in tile ${chosen}: ${other.view ? viewNames[other.view] : 'view not named'}`}
                    onClick={() => {
                      if (shown.tiles.some((t) => t.id === other.id)) return;
                      if (isDrawing(session)) measuring.leaveTile();
                      shown.put(chosen, stageClip(c, other));
                    }}
                  >
                    {strip ? (
                      <ClipThumb url={packUrl(c, other.id)} label={`First frame of clip ${other.number}`} />
                    ) : null}
                    <span>{other.number}</span>
                  </button>
                </li>
              ))}
            </ul>
          ) : null}
        </div>
      ) : null}
      {judging ? <JudgeDialog c={c} clip={judging} onClose={() => setJudging(null)} /> : null}
      {help ? <KeysOverlay keys={keys} onClose={() => setHelp(false)} /> : null}
    </section>
  );
}
