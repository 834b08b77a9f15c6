import type { CaseView, ClipRecord } from '@chordae/contract';
import { call, sentenceOf } from '../../host/api';
import { cycleOf, nextMoment, toggledMark } from '../../host/clips/beats';
import type { Greys } from '../../host/clips/greys';
import type { StageClock } from '../../host/clips/stage-clock';
import type { ToolId } from './canvas/drawing';
import { currentOf } from './canvas/drawing';
import type { Reading } from './canvas/reading';
import type { ToolEvent } from './canvas/tool';
import type { DeskActionId } from './desk-keys';
import type { TileHandle } from './desk-tile';
import { drawingsOn } from './frame-drawings';
import type { StageClip } from './stage-clip';
import { exampleClip, marksOf, stageClip } from './stage-clip';
import { type FrameFor, giveFrame } from './stage-frames';
import { startOutline } from './start-outline';
import type { Guided } from './use-guided';
import type { Measuring } from './use-measuring';
import type { Shown } from './use-shown';

interface StageParts {
  readonly c: CaseView;
  readonly mayWrite: boolean;
  readonly clock: StageClock;
  readonly measuring: Measuring;
  readonly guided: Guided;
  readonly shown: Shown;
  readonly chosen: number;
  readonly at: StageClip | null;
  readonly tile: () => TileHandle | null;
  readonly open: (place: number, clip: StageClip, frame: number | null) => void;
  readonly setSays: (says: string | null) => void;
  readonly setHelp: (open: boolean) => void;
  readonly judge: (clip: ClipRecord) => void;
  /** What is drawn now, of all shapes. */
  readonly drawnNow: () => readonly Reading[];
  readonly greys: Greys;
  readonly setGreys: (greys: Greys) => void;
  readonly toggleGreys: () => void;
}

/** Screen pixels that a key moves the picture. */
const PAN_PX = 60;

/** What each action of the desk does on the stage; false where it does nothing here. */
export function stageActions(s: StageParts): (action: DeskActionId) => boolean {
  const { clock, measuring, chosen, shown } = s;
  const { session } = measuring;
  const drawing = session ? currentOf(session.document) : null;
  const tool = (event: ToolEvent): boolean => {
    const tile = s.tile();
    if (!session || !tile) return false;
    measuring.send(event, tile.place());
    return true;
  };
  const did = (does: unknown) => does !== false;
  const pan = (dx: number, dy: number) => did(s.tile()?.pan(dx * PAN_PX, dy * PAN_PX));
  const simple: Partial<Record<DeskActionId, () => boolean>> = {
    'play-or-hold': () => {
      if (!clock.read().playing) measuring.leaveTile();
      return did(clock.toggle(chosen));
    },
    'frame-back': () => did(clock.step(chosen, -1)),
    'frame-on': () => did(clock.step(chosen, 1)),
    'frame-back-always': () => did(clock.step(chosen, -1)),
    'frame-on-always': () => did(clock.step(chosen, 1)),
    'phase-mode': () => did(clock.nextMode()),
    'more-tiles': () => shown.change(1) || say(s, 'All clips that came are shown.'),
    'fewer-tiles': () => shown.change(-1),
    'mark-end-diastole': () => mark(s, 'endDiastole'),
    'mark-end-systole': () => mark(s, 'endSystole'),
    'to-end-diastole': () => toMoment(s, 'endDiastole'),
    'to-end-systole': () => toMoment(s, 'endSystole'),
    'earlier-beside': () => did(void earlierBeside(s)),
    example: () => exampleBeside(s),
    larger: () => did(s.tile()?.zoom(1.25)),
    smaller: () => did(s.tile()?.zoom(0.8)),
    'whole-picture': () => did(s.tile()?.fit()),
    'pan-left': () => pan(-1, 0),
    'pan-right': () => pan(1, 0),
    'pan-up': () => pan(0, -1),
    'pan-down': () => pan(0, 1),
    greys: () => did(s.toggleGreys()),
    invert: () => did(s.setGreys({ ...s.greys, inverted: !s.greys.inverted })),
    'next-wanted': () => s.mayWrite && did(s.guided.goOn(chosen)),
    'measured-as': () => {
      const select = document.querySelector<HTMLElement>('#measure-bar select');
      select?.focus();
      return select !== null;
    },
    keep: () => keep(s),
    'let-go': () => {
      if (!session) return false;
      if (drawing || (session.state.name === 'idle' && session.state.cross)) return tool({ kind: 'cancel' });
      s.guided.end();
      return did(measuring.stop());
    },
    'next-point': () => session?.state.name === 'editing' && tool({ kind: 'next', by: 1 }),
    'point-before': () => session?.state.name === 'editing' && tool({ kind: 'next', by: -1 }),
    'put-point': () => {
      clock.hold();
      return tool({ kind: 'put' });
    },
    undo: () => tool({ kind: 'undo' }),
    redo: () => tool({ kind: 'redo' }),
    'judge-view': () => judge(s),
    'key-frame': () => give(s, 'key-frame'),
    'technique-frame': () => give(s, 'technique'),
    'keys-list': () => did(s.setHelp(true)),
  };
  return (action) => {
    const own = simple[action];
    if (own) return own();
    return action.startsWith('tool-') ? startTool(s, action.slice(5) as ToolId) : false;
  };
}

function startTool(s: StageParts, tool: ToolId): boolean {
  if (!s.at) return false;
  s.setSays(null);
  if (!s.mayWrite) return say(s, 'Take the referral to measure on it.');
  if (s.at.kind !== 'today' || !s.at.clip) return say(s, 'Only clips of this referral are measured here.');
  s.clock.hold();
  s.guided.end();
  const { regions } = s.at.measured.description;
  if (tool === 'calibration' && regions.some((r) => r.kind === '2d' && r.usable && r.unitY === 'cm'))
    return say(s, "The file's own scale stands: it is not changed by hand.");
  if (tool === 'cavity') void startOutline(s.c, s.at, s.clock.frameOf(s.chosen), s.measuring);
  else s.measuring.begin(tool);
  return true;
}

function say(s: StageParts, words: string): true {
  s.setSays(words);
  return true;
}

/** Enter: ends what is being put; keeps what stands. */
function keep(s: StageParts): boolean {
  const { session } = s.measuring;
  const tile = s.tile();
  const drawing = session ? currentOf(session.document) : null;
  if (!session || !tile || !drawing) return false;
  if (session.state.name !== 'editing') s.measuring.send({ kind: 'complete' }, tile.place());
  else if (session.tool === 'cavity') {
    const [part] = drawing.parts;
    if (part)
      void s.measuring
        .say(part.clipId, { kind: 'outline', frame: part.frame, points: [...part.points] })
        .then((ok) => {
          if (ok) s.measuring.stop();
        });
  } else if (session.tool === 'calibration') document.querySelector<HTMLElement>('#scale-mm')?.focus();
  else void s.measuring.keep(null);
  return true;
}

function judge(s: StageParts): boolean {
  if (!s.at?.clip || s.at.kind !== 'today') return say(s, 'Only clips of this referral are judged here.');
  if (!s.mayWrite) return say(s, 'Take the referral to judge its views.');
  s.judge(s.at.clip);
  return true;
}

/** The held frame into the opinion, with what stands on it. */
function give(s: StageParts, what: FrameFor): boolean {
  const { at } = s;
  if (!at?.clip || at.kind !== 'today') return say(s, 'Only frames of this referral go into its opinion.');
  s.clock.hold();
  const frame = s.clock.frameOf(s.chosen);
  const drawings = drawingsOn(s.c.measurements, s.drawnNow(), { clipId: at.id, frame });
  const taken = giveFrame(what, { clipId: at.id, frame, drawings });
  const name = `Frame ${frame + 1} of clip ${at.clip.number}`;
  if (taken === null) return say(s, 'Take the referral to put frames into its opinion.');
  if (!taken) return say(s, 'The opinion has its six key frames: take one out first.');
  return say(
    s,
    what === 'key-frame' ? `${name} stands in the opinion.` : `${name} stands in the note on its clip.`,
  );
}

function mark(s: StageParts, kind: 'endDiastole' | 'endSystole'): boolean {
  const { at } = s;
  if (!at) return false;
  if (!s.mayWrite) return say(s, 'Take the referral to mark moments on its clips.');
  if (at.kind !== 'today') return say(s, 'Moments are marked on clips of this referral only.');
  if (s.clock.read().playing) return say(s, 'Hold the clips first: a moment is marked on the held frame.');
  const marks = marksOf(s.c, at.id);
  const both = { endDiastole: [...(marks?.endDiastole ?? [])], endSystole: [...(marks?.endSystole ?? [])] };
  both[kind] = toggledMark(both[kind], s.clock.frameOf(s.chosen));
  void s.measuring.say(at.id, { kind: 'marks', ...both });
  return true;
}

function toMoment(s: StageParts, kind: 'endDiastole' | 'endSystole'): boolean {
  if (!s.at) return false;
  const moment = nextMoment(cycleOf(s.at.cycle)[kind], s.clock.frameOf(s.chosen));
  const name = kind === 'endDiastole' ? 'end-diastole' : 'end-systole';
  if (!moment) return say(s, `No ${name} is marked or suggested on this clip.`);
  s.setSays(null);
  s.clock.goTo(s.chosen, moment.frame);
  return true;
}

function exampleBeside(s: StageParts): boolean {
  if (!s.at?.view || s.at.view === 'other')
    return say(s, 'An example can be drawn only for a clip whose view is named.');
  s.setSays(null);
  s.open(Math.min(9, s.chosen + 1), exampleClip(s.at.view, s.c.patient.species), null);
  return true;
}

/** The newest earlier scan of this patient that has the same view, in the next tile. */
async function earlierBeside(s: StageParts): Promise<void> {
  const { at, c } = s;
  if (!at?.view)
    return void say(s, 'The view of this clip is not named: an earlier one of it cannot be found.');
  const params = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  try {
    const scans = await call('earlierScans', { params });
    for (const scan of [...scans].reverse()) {
      const earlier = await call('getCase', { params: { ...params, referralId: scan.referralId } });
      const clip = earlier.clips.find((x) => stageClip(earlier, x).view === at.view);
      if (clip) return s.open(Math.min(9, s.chosen + 1), stageClip(earlier, clip, 'earlier'), null);
    }
    say(s, 'No earlier scan of this patient with the same view can be seen from here.');
  } catch (error) {
    say(s, sentenceOf(error));
  }
}
