import { runNetwork } from '../src/learned/network';
import { levelled } from '../src/learned/polar-patch';
import { suggestedViews, suggestionOf } from '../src/learned/view-suggestion';
import { patchBytes } from './samples';

export interface ViewScore {
  readonly clips: number;
  /** Mean over the views of F1, abstentions counted as missed. */
  readonly macroF1: number;
  /** The same over the clips for which something was said. */
  readonly macroF1Said: number;
  readonly abstained: number;
  /** Rows are true views, columns said ones; the last column holds abstentions. */
  readonly confusion: readonly (readonly number[])[];
}

function macroF1(confusion: readonly (readonly number[])[], withAbstained: boolean): number {
  const count = suggestedViews.length;
  let sum = 0;
  for (let v = 0; v < count; v += 1) {
    const right = confusion[v]?.[v] ?? 0;
    const row = (confusion[v] ?? []).reduce((a, b, n) => a + (n < count || withAbstained ? b : 0), 0);
    const column = confusion.reduce((a, r) => a + (r[v] ?? 0), 0);
    sum += row + column === 0 ? 0 : (2 * right) / (row + column);
  }
  return sum / count;
}

/** Judges numbers on a loaded set of views. */
export function scoreViews(patches: Uint8Array, views: readonly number[], numbers: Float64Array): ViewScore {
  const count = suggestedViews.length;
  const confusion = Array.from({ length: count }, () => Array.from({ length: count + 1 }, () => 0));
  const half = patchBytes / 2;
  views.forEach((view, n) => {
    const bytes = patches.subarray(n * patchBytes, (n + 1) * patchBytes);
    const input = levelled(
      Float64Array.from(bytes.subarray(0, half)),
      Float64Array.from(bytes.subarray(half)),
    );
    const said = suggestionOf(runNetwork(input, numbers, count)).view;
    const row = confusion[view] as number[];
    const column = said === null ? count : suggestedViews.indexOf(said);
    row[column] = (row[column] as number) + 1;
  });
  return {
    clips: views.length,
    macroF1: macroF1(confusion, true),
    macroF1Said: macroF1(confusion, false),
    abstained: confusion.reduce((sum, row) => sum + (row[count] as number), 0) / views.length,
    confusion,
  };
}
