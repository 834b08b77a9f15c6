import type { CaseView, ClipStatement, MeasurementCode, MeasurementRecord } from '@chordae/contract';
import { measurementNames, sayDrawn } from '@chordae/words';
import { useRef, useState } from 'react';
import { call, sentenceOf } from '../../host/api';
import { useRereadCase } from '../../host/use-case';
import { uuidv7 } from '../../host/uuid';
import type { Part, ToolId } from './canvas/drawing';
import { currentOf } from './canvas/drawing';
import type { ClipsById, Reading } from './canvas/reading';
import { readingsOf } from './canvas/reading';
import type { Place, Session } from './canvas/session';
import { beginSession, beginWith, handle } from './canvas/session';
import { TOOL_SPECS } from './canvas/specs';
import type { ToolEvent } from './canvas/tool';
import { beatsOf, entryOf, nextBeat, viewOf } from './keep-reading';

export interface Measuring {
  readonly session: Session | null;
  readonly code: MeasurementCode | '';
  readonly problem: string | null;
  readonly kept: string | null;
  setCode(code: MeasurementCode | ''): void;
  begin(tool: ToolId, code?: MeasurementCode, part?: Part): void;
  stop(): void;
  send(event: ToolEvent, at: Place): void;
  /** Another tile is looked at: what is drawn is let go, unless a second plane is awaited. */
  leaveTile(): void;
  keep(replaces: MeasurementRecord | null): Promise<void>;
  say(clipId: string, statement: ClipStatement): Promise<boolean>;
}

/** Is the first plane done and the second one awaited: then any tile may take it. */
function awaitsElsewhere(session: Session): boolean {
  const drawing = currentOf(session.document);
  const spec = TOOL_SPECS[session.tool];
  if (!drawing || spec.together !== 'anywhere') return false;
  return drawing.parts.every((p) => p.done) && drawing.parts.length < spec.parts.length;
}

/** The tool at work on this case, and what is kept of it. */
export function useMeasuring(c: CaseView, clips: ClipsById, nowhere: Place): Measuring {
  const place = { practiceId: c.referral.practiceId, referralId: c.referral.id };
  const reread = useRereadCase(place);
  const [session, setSession] = useState<Session | null>(null);
  const [code, setCode] = useState<MeasurementCode | ''>('');
  const [problem, setProblem] = useState<string | null>(null);
  const [kept, setKept] = useState<string | null>(null);
  const busy = useRef(false);
  // Several events of one pointer may come before the page is drawn again.
  const now = useRef<Session | null>(null);
  const change = (next: Session | null) => {
    now.current = next;
    setSession(next);
  };
  const clear = () => {
    setProblem(null);
    setKept(null);
  };
  const send = (event: ToolEvent, at: Place) => {
    if (!now.current) return;
    if (event.kind === 'press') clear();
    change(handle(now.current, event, at));
  };
  const beatOf = (reading: Reading, as: MeasurementCode): number => {
    const clip = c.clips.find((x) => x.id === reading.clipId);
    return nextBeat(beatsOf(c, as, clip ? viewOf(c, clip) : null));
  };
  const put = async (reading: Reading, as: MeasurementCode, replaces: MeasurementRecord | null) => {
    const clip = c.clips.find((x) => x.id === reading.clipId);
    const beat = replaces ? replaces.beat : beatOf(reading, as);
    const view = clip ? viewOf(c, clip) : null;
    const entry = entryOf(reading, as, clips, { view, beat, replaces: replaces?.id ?? null });
    if (!entry) return null;
    await call('putMeasurement', { params: { ...place, measurementId: uuidv7() }, body: entry });
    return `${measurementNames[as].short} ${sayDrawn(entry.value, entry.unit)}, beat ${beat ?? 1}`;
  };
  return {
    session,
    code,
    problem,
    kept,
    setCode(next) {
      setProblem(null);
      setCode(next);
    },
    begin(tool, next, part) {
      clear();
      setCode(next ?? '');
      change(part ? beginWith(tool, part) : beginSession(tool));
    },
    stop() {
      clear();
      change(null);
    },
    send,
    leaveTile() {
      if (now.current && !awaitsElsewhere(now.current)) send({ kind: 'interrupt' }, nowhere);
    },
    async keep(replaces) {
      const drawing = now.current ? currentOf(now.current.document) : null;
      if (!now.current || !drawing || busy.current) return;
      const readings = readingsOf(drawing, clips);
      if (readings.length === 0 || readings.some((r) => !r.values.ok)) return;
      if (readings.some((r) => (r.code ?? code) === '')) return setProblem('Choose what was measured.');
      busy.current = true;
      const said: string[] = [];
      try {
        for (const reading of readings) {
          const one = await put(reading, (reading.code ?? code) as MeasurementCode, replaces);
          if (one === null) return setProblem('Choose what was measured.');
          said.push(one);
        }
        await reread();
        change(now.current ? beginSession(now.current.tool) : null);
        setKept(`Kept: ${said.join('; ')}. Draw again for another beat.`);
      } catch (error) {
        const before = said.length > 0 ? `Kept: ${said.join('; ')}. Not kept: the rest. ` : '';
        setProblem(before + sentenceOf(error));
      } finally {
        busy.current = false;
      }
    },
    async say(clipId, statement) {
      try {
        await call('putClipStatement', {
          params: { ...place, clipId, statementId: uuidv7() },
          body: statement,
        });
        await reread();
        return true;
      } catch (error) {
        setProblem(sentenceOf(error));
        return false;
      }
    },
  };
}
