import type { MeasurementCode } from '@chordae/contract';
import { act, renderHook } from '@testing-library/react';
import { describe, expect, it } from 'vitest';
import { usePaste } from './use-paste';

const order: readonly MeasurementCode[] = ['lvidd', 'lvids', 'ivsd'];

/** A table as the sheet keeps it, without a server: saved numbers show their unit. */
function table(start: Record<string, string>, clashing: string[] = []) {
  const texts = new Map(Object.entries(start));
  const key = (code: string, beat: number) => `${code}:${beat}`;
  const shown: MeasurementCode[] = [];
  const cells = {
    textOf: (code: MeasurementCode, beat: number) => texts.get(key(code, beat)) ?? '',
    fill: (code: MeasurementCode, beat: number, text: string) => void texts.set(key(code, beat), text),
    beatsOf: (code: MeasurementCode) => Math.max(1, ...[1, 2, 3].filter((b) => texts.get(key(code, b)))),
    clashes: (code: MeasurementCode, beat: number) => clashing.includes(key(code, beat)),
  };
  const { result } = renderHook(() => usePaste(cells, order, (codes) => void shown.push(...codes)));
  return { texts, result, shown };
}

describe('pasting into the measurement table', () => {
  it('fills, says so, and puts the earlier texts back', () => {
    const { texts, result } = table({ 'lvidd:1': '31 mm' });
    act(() => expect(result.current.take('38.2\n24.1', 'lvidd', 1)).toBe(true));
    expect([...texts]).toEqual([
      ['lvidd:1', '38.2'],
      ['lvids:1', '24.1'],
    ]);
    expect(result.current.says).toBe('Filled in: LVIDd 38.2; LVIDs 24.1.');
    texts.set('lvidd:1', '38.2 mm');
    act(() => result.current.undo());
    expect([...texts]).toEqual([
      ['lvidd:1', '31 mm'],
      ['lvids:1', ''],
    ]);
    expect(result.current.says).toBe('Put back as before: LVIDd, LVIDs.');
    expect(result.current.undoable).toBe(false);
  });

  it('leaves what was typed over since', () => {
    const { texts, result } = table({});
    act(() => void result.current.take('38.2\n24.1', 'lvidd', 1));
    texts.set('lvids:1', '25 mm');
    act(() => result.current.undo());
    expect([...texts]).toEqual([
      ['lvidd:1', ''],
      ['lvids:1', '25 mm'],
    ]);
    expect(result.current.says).toBe('Put back as before: LVIDd. Typed over since, so left: LVIDs.');
  });

  it('shows quantities that the table had not, and names beats that stay', () => {
    const { result, shown } = table({ 'lvidd:1': '30 mm', 'lvidd:2': '31 mm' });
    act(() => void result.current.take('LVIDd 38.2\nTAPSE 12', 'ivsd', 1));
    expect(shown).toEqual(['tapse']);
    expect(result.current.says).toBe(
      'Filled in: LVIDd 38.2; TAPSE 12. Other beats stay and are averaged with it: LVIDd.',
    );
  });

  it('leaves a cell in which two values wait for a choice', () => {
    const { texts, result } = table({ 'lvids:1': '22 mm' }, ['lvids:1']);
    act(() => void result.current.take('38.2\n24.1', 'lvidd', 1));
    expect([...texts]).toEqual([
      ['lvids:1', '22 mm'],
      ['lvidd:1', '38.2'],
    ]);
    expect(result.current.says).toContain("'24.1' for LVIDs (a choice between two values is open there)");
  });

  it('puts nothing back into a cell in which two values wait for a choice since', () => {
    const clashing: string[] = [];
    const { texts, result } = table({}, clashing);
    act(() => void result.current.take('38.2\n24.1', 'lvidd', 1));
    clashing.push('lvids:1');
    act(() => result.current.undo());
    expect([...texts]).toEqual([
      ['lvidd:1', ''],
      ['lvids:1', '24.1'],
    ]);
  });

  it('leaves a plain value to the field', () => {
    const { result } = table({});
    act(() => expect(result.current.take('38.2', 'lvidd', 1)).toBe(false));
    expect(result.current.says).toBeNull();
  });
});
