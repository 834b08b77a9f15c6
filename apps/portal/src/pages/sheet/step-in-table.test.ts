import { describe, expect, it } from 'vitest';
import { stepInTable } from './step-in-table';

function table(): HTMLInputElement[] {
  document.body.innerHTML = `<table><tbody>
    <tr><td><span class="cell"><input id="a1"></span><span class="cell"><input id="a2"></span></td></tr>
    <tr><td><span class="cell"><input id="off" disabled></span></td></tr>
    <tr><td><span class="cell"><input id="b1"></span></td></tr>
  </tbody></table>`;
  return ['a1', 'a2', 'b1'].map((id) => document.getElementById(id) as HTMLInputElement);
}

describe('moving in the measurement table', () => {
  it('goes down and up over rows that cannot be typed in, to the nearest beat', () => {
    const [, a2, b1] = table() as [HTMLInputElement, HTMLInputElement, HTMLInputElement];
    expect(stepInTable('ArrowDown', a2)).toBe(true);
    expect(document.activeElement?.id).toBe('b1');
    expect(stepInTable('ArrowUp', b1)).toBe(true);
    expect(document.activeElement?.id).toBe('a1');
  });

  it('stays at the ends and on other keys', () => {
    const [a1, , b1] = table() as [HTMLInputElement, HTMLInputElement, HTMLInputElement];
    expect(stepInTable('ArrowUp', a1)).toBe(false);
    expect(stepInTable('Enter', b1)).toBe(false);
    expect(stepInTable('ArrowLeft', b1)).toBe(false);
  });
});
