import type { InterpretationInput } from '@chordae/contract';
import { ByteWriter } from './byte-writer';
import { canonicalText } from './canonical-text';
import { sha256OfBytes } from './sha256';

type Measured = InterpretationInput['measurements'][number];
type Observed = InterpretationInput['observations'][number];
type Viewed = InterpretationInput['views'][number];

/** Compares by text, then by the next text, and so on; null comes before any text, the empty one as well. */
function order(a: readonly (string | number | null)[], b: readonly (string | number | null)[]): number {
  for (let i = 0; i < a.length; i += 1) {
    const left = a[i] ?? null;
    const right = b[i] ?? null;
    if (left === right) continue;
    if (left === null) return -1;
    if (right === null || left > right) return 1;
    return -1;
  }
  return 0;
}

/** By id; rows that share one are told apart by the rest, so that the order in which they came cannot matter. */
function byId(a: Measured, b: Measured): number {
  if (a.id !== b.id) return a.id < b.id ? -1 : 1;
  const rest = (m: Measured) => [m.code, String(m.value), m.unit, m.view, m.method, String(m.beat), m.source];
  return order(rest(a), rest(b));
}

const byAnswer = (a: Observed, b: Observed): number =>
  order([a.id, a.code, a.value, a.side ?? null], [b.id, b.code, b.value, b.side ?? null]);

const byView = (a: Viewed, b: Viewed): number =>
  order([a.view, a.clipId, a.judged, a.why], [b.view, b.clipId, b.judged, b.why]);

/**
 * Hash of an input: patient, plan and state as canonical text, then measurements, observations and views in a fixed order
 * with their fields in fixed order, so that the order of the lists does not matter. The same in every engine.
 */
export function inputHashOf(input: InterpretationInput): string {
  const { measurements, observations, views, ...rest } = input;
  const out = new ByteWriter();
  out.text(canonicalText(rest));
  out.number(measurements.length);
  for (const m of [...measurements].sort(byId)) {
    out.text(m.id);
    out.text(m.code);
    out.number(m.value);
    out.text(m.unit);
    out.text(m.view);
    out.text(m.method);
    out.number(m.beat);
    out.text(m.source);
  }
  out.number(observations.length);
  for (const o of [...observations].sort(byAnswer)) {
    out.text(o.id);
    out.text(o.code);
    out.text(o.value);
    out.text(o.side);
  }
  out.number(views.length);
  for (const v of [...views].sort(byView)) {
    out.text(v.view);
    out.text(v.clipId);
    out.text(v.judged);
    out.text(v.why);
  }
  return sha256OfBytes(out.written());
}

/**
 * Hash of what a scan report's numbers rest on: the input without its views and without the asked urgency. A clip that
 * arrives after somebody signed on a device without a network changes no number; a weight or a measurement does.
 */
export function numbersHashOf(input: InterpretationInput): string {
  return inputHashOf({ ...input, urgencyAsked: null, views: [] });
}
