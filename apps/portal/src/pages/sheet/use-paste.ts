import type { MeasurementCode } from '@chordae/contract';
import { parseQuantity } from '@chordae/interpretation';
import type { PastedBlock } from '@chordae/words';
import { sayPasted, sayPutBack } from '@chordae/words';
import { useState } from 'react';
import { fieldUnit } from './field-unit';
import { readBlock } from './read-block';
import type { Cells } from './use-cells';

export interface Paste {
  /** What the last paste did; null before one. */
  readonly says: string | null;
  readonly undoable: boolean;
  /** True where the text was a block and has been dealt with; a plain value is left to the field. */
  take(text: string, code: MeasurementCode, beat: number): boolean;
  undo(): void;
  close(): void;
}

interface Filled {
  readonly code: MeasurementCode;
  readonly beat: number;
  readonly text: string;
  readonly before: string;
}

type PasteCells = Pick<Cells, 'textOf' | 'fill' | 'beatsOf' | 'clashes'>;

/** Pasting of many values at once: fills, says what was taken and what was not, and can put all of it back. */
export function usePaste(
  cells: PasteCells,
  order: readonly MeasurementCode[],
  show: (codes: readonly MeasurementCode[]) => void,
): Paste {
  const [says, setSays] = useState<string | null>(null);
  const [filled, setFilled] = useState<readonly Filled[]>([]);

  const take = (text: string, code: MeasurementCode, beat: number): boolean => {
    const block = readBlock(text, { order, code, beat });
    if (!block) return false;
    const open = block.taken.filter((t) => cells.clashes(t.code, t.beat));
    const taken = block.taken.filter((t) => !open.includes(t));
    const refused = [
      ...block.refused,
      ...open.map((t) => ({ text: t.text, code: t.code, why: 'choice-open' as const })),
    ];
    const otherBeats = beatsThatStay(cells, taken);
    setFilled(taken.map((t) => ({ ...t, before: cells.textOf(t.code, t.beat) })));
    setSays(sayPasted({ taken, refused, otherBeats }));
    const fresh = [...new Set(taken.map((t) => t.code))].filter((c) => !order.includes(c));
    if (fresh.length > 0) show(fresh);
    for (const t of taken) cells.fill(t.code, t.beat, t.text);
    return true;
  };

  const undo = () => {
    // A cell in which two values wait for a choice is left to whoever chooses.
    const untouched = filled.filter(
      (f) => !cells.clashes(f.code, f.beat) && asPasted(cells.textOf(f.code, f.beat), f),
    );
    for (const f of untouched) cells.fill(f.code, f.beat, f.before);
    const left = filled.filter((f) => !untouched.includes(f));
    setSays(
      sayPutBack(
        untouched.map((f) => f.code),
        left.map((f) => f.code),
      ),
    );
    setFilled([]);
  };

  return {
    says,
    undoable: filled.length > 0,
    take,
    undo,
    close: () => {
      setSays(null);
      setFilled([]);
    },
  };
}

/** Once saved, a cell shows a bare number with its unit. */
function asPasted(now: string, { code, text }: Filled): boolean {
  if (now === text) return true;
  const read = parseQuantity(text, code, fieldUnit(code));
  return read.ok && now === read.asTyped;
}

function beatsThatStay(cells: PasteCells, taken: PastedBlock['taken']): MeasurementCode[] {
  return [...new Set(taken.map((t) => t.code))].filter((code) =>
    Array.from({ length: cells.beatsOf(code) }, (_, n) => n + 1).some(
      (beat) => cells.textOf(code, beat) !== '' && !taken.some((t) => t.code === code && t.beat === beat),
    ),
  );
}
