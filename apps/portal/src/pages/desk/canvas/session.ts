import type { FramePoint } from '@chordae/contract';
import type { Camera, Size } from './camera';
import { toFrame, toScreen } from './camera';
import type { DrawnDocument, Part, ToolId } from './drawing';
import { currentOf, emptyDocument, withNew } from './drawing';
import { pointStep } from './point-tool';
import { TOOL_SPECS } from './specs';
import { strokeStep } from './stroke-tool';
import type { Step, ToolContext, ToolEvent, ToolState } from './tool';
import { idle, resumed } from './tool';

/** One tool at work: its state, what is drawn, and the way back. */
export interface Session {
  readonly tool: ToolId;
  readonly state: ToolState;
  readonly document: DrawnDocument;
  readonly past: readonly DrawnDocument[];
  readonly future: readonly DrawnDocument[];
  /** The document as the gesture found it, while one is under way. */
  readonly before: DrawnDocument | null;
}

/** Where an event happens. */
export interface Place {
  readonly camera: Camera;
  readonly tile: Size;
  readonly clipId: string;
  readonly frame: number;
  readonly overTime: (p: FramePoint) => boolean;
}

const MOST_STEPS_BACK = 200;

export function beginSession(tool: ToolId): Session {
  return { tool, state: idle, document: emptyDocument, past: [], future: [], before: null };
}

/** A session that begins with something drawn: an outline that was found, to be corrected. */
export function beginWith(tool: ToolId, part: Part): Session {
  const document = withNew(emptyDocument, tool, part);
  return { ...beginSession(tool), document, state: resumed(document, TOOL_SPECS[tool]) };
}

function back(session: Session, spec: ToolContext['spec']): Session {
  const { past, future, document, before } = session;
  // In the middle of a gesture, back means to where it began.
  const to = before ?? past.at(-1);
  if (!to) return session;
  return {
    ...session,
    document: to,
    state: resumed(to, spec),
    past: before ? past : past.slice(0, -1),
    future: [document, ...future],
    before: null,
  };
}

function forth(session: Session, spec: ToolContext['spec']): Session {
  const [to, ...future] = session.future;
  if (!to) return session;
  const past = [...session.past, session.document];
  return { ...session, document: to, state: resumed(to, spec), past, future, before: null };
}

/** One event through the tool: the new state and the document with its edits. Needs no screen. */
export function handle(session: Session, event: ToolEvent, at: Place): Session {
  const spec = TOOL_SPECS[session.tool];
  if (event.kind === 'undo') return back(session, spec);
  if (event.kind === 'redo') return forth(session, spec);
  const context: ToolContext = {
    tool: session.tool,
    spec,
    clipId: at.clipId,
    frame: at.frame,
    centre: toFrame(at.camera, { sx: at.tile.width / 2, sy: at.tile.height / 2 }),
    scale: at.camera.scale,
    toFrame: (p) => toFrame(at.camera, p),
    toScreen: (p) => toScreen(at.camera, p),
    overTime: at.overTime,
    document: session.document,
  };
  const step = spec.parts[0]?.kind === 'stroke' ? strokeStep : pointStep;
  return after(session, step(session.state, event, context));
}

/** Edits and history: what can be undone is remembered once a gesture ends. */
function after(session: Session, { state, edits, capture }: Step): Session {
  const document = edits.at(-1) ?? session.document;
  if (capture === 'at-end')
    return { ...session, state, document, before: session.before ?? session.document };
  if (capture === 'never') return { ...session, state, document };
  const from = session.before ?? session.document;
  if (from === document) return { ...session, state, document, before: null };
  const past = [...session.past, from].slice(-MOST_STEPS_BACK);
  return { ...session, state, document, past, future: [], before: null };
}

/** Is anything of this session still to be kept or let go. */
export function isDrawing(session: Session | null): boolean {
  return session !== null && currentOf(session.document) !== null;
}
