import type { Camera } from './camera';
import { toFrame, toScreen } from './camera';
import type { LengthState } from './length-tool';
import { idle, lengthStep } from './length-tool';
import type { DrawnDocument, ToolEvent } from './tool';

export interface Session {
  readonly tool: LengthState;
  readonly document: DrawnDocument;
}

export const emptySession: Session = { tool: idle, document: { length: null } };

/** One event through the tool: the new state and the document with its edits. Needs no screen. */
export function handle(session: Session, event: ToolEvent, at: { camera: Camera; frame: number }): Session {
  const step = lengthStep(session.tool, event, {
    frame: at.frame,
    toFrame: (p) => toFrame(at.camera, p),
    toScreen: (p) => toScreen(at.camera, p),
    document: session.document,
  });
  return { tool: step.state, document: step.edits.at(-1) ?? session.document };
}
