import type { InterpretationInput } from '@chordae/contract';
import { canonicalText, quoted } from './canonical-text';
import { sha256Hex } from './sha256';

const text = (value: string | null | undefined): string => (value == null ? 'null' : quoted(value));
const number = (value: number | null): string =>
  value === null || !Number.isFinite(value) ? 'null' : String(value === 0 ? 0 : value);

/**
 * Hash of an input: one line per measurement, observation and view with its fields in fixed order, the lines sorted, so
 * that the order of the lists does not matter; patient, plan and state as canonical text. The same in every engine.
 */
export function inputHashOf(input: InterpretationInput): string {
  const { measurements, observations, views, ...rest } = input;
  const lines = [
    ...measurements
      .map(
        (m) =>
          `m ${text(m.id)} ${text(m.code)} ${number(m.value)} ${text(m.unit)} ${text(m.view)} ${text(m.method)} ${number(m.beat)} ${text(m.source)}`,
      )
      .sort(),
    ...observations.map((o) => `o ${text(o.id)} ${text(o.code)} ${text(o.value)} ${text(o.side)}`).sort(),
    ...views.map((v) => `v ${text(v.view)} ${text(v.clipId)} ${text(v.judged)} ${text(v.why)}`).sort(),
  ];
  return sha256Hex(`${canonicalText(rest)}\n${lines.join('\n')}`);
}
