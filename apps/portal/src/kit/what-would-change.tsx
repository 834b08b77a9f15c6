import type { InterpretationInput } from '@chordae/contract';
import { whatWouldChange } from '@chordae/interpretation';
import { sayTurn } from '@chordae/words';
import { useMemo, useState } from 'react';

/** On demand: the smallest change of each number that would change what is said. Computed only while it is open. */
export function WhatWouldChange({ input }: { input: InterpretationInput }) {
  const [open, setOpen] = useState(false);
  const turns = useMemo(() => (open ? whatWouldChange(input) : []), [open, input]);
  return (
    <details className="turns" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What would change this</summary>
      {turns.length === 0 ? (
        <p className="hint">No change of a single number near its value would change what is said.</p>
      ) : (
        <>
          <p className="hint">One number changed at a time, all others as they are; the nearest first.</p>
          <ul className="small-list">
            {turns.map((turn) => (
              <li key={turn.input}>{sayTurn(turn)}</li>
            ))}
          </ul>
        </>
      )}
    </details>
  );
}
