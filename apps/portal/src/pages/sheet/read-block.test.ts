import type { MeasurementCode } from '@chordae/contract';
import { sayPasted } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { readBlock } from './read-block';

const order: readonly MeasurementCode[] = ['lvidd', 'lvids', 'ivsd', 'ao-vmax', 'heart-rate'];
const at = (code: MeasurementCode, beat = 1) => ({ order, code, beat });
const cellsOf = (text: string, code: MeasurementCode = 'lvidd', beat = 1) =>
  readBlock(text, at(code, beat))?.taken.map((t) => [t.code, t.beat, t.text]);
const whyOf = (text: string, code: MeasurementCode = 'lvidd') =>
  readBlock(text, at(code))?.refused.map((r) => [r.text, r.why]);

describe('a pasted column without names', () => {
  it('fills the pasted cell and the following ones in the order of the table', () => {
    expect(cellsOf('24.1\n7,2 mm\n1.31', 'lvids')).toEqual([
      ['lvids', 1, '24.1'],
      ['ivsd', 1, '7,2 mm'],
      ['ao-vmax', 1, '1.31'],
    ]);
  });

  it('takes a row of a spreadsheet in the same order, and Windows line ends', () => {
    expect(cellsOf('38.2\t24.1')).toEqual([
      ['lvidd', 1, '38.2'],
      ['lvids', 1, '24.1'],
    ]);
    expect(cellsOf('3,82 cm\r\n24.1\r\n')).toEqual([
      ['lvidd', 1, '3,82 cm'],
      ['lvids', 1, '24.1'],
    ]);
  });

  it('joins a unit in the column beside its number', () => {
    expect(cellsOf('3.82\tcm\n24.1\tmm')).toEqual([
      ['lvidd', 1, '3.82 cm'],
      ['lvids', 1, '24.1 mm'],
    ]);
  });

  it('passes by the cell of an empty line or a dash, so that no value moves up', () => {
    expect(cellsOf('38.2\n\n7.2')).toEqual([
      ['lvidd', 1, '38.2'],
      ['ivsd', 1, '7.2'],
    ]);
    expect(cellsOf('\n24.1\nn/a\n1.3')).toEqual([
      ['lvids', 1, '24.1'],
      ['ao-vmax', 1, '1.3'],
    ]);
  });

  it('keeps the place of a value that cannot be read and says which', () => {
    expect(cellsOf('38.2\n24 kg\n7.2')).toEqual([
      ['lvidd', 1, '38.2'],
      ['ivsd', 1, '7.2'],
    ]);
    expect(whyOf('38.2\n24 kg\n7.2')).toEqual([['24 kg', 'not-read']]);
    expect(whyOf('38.2\n9000')).toEqual([['9000', 'not-read']]);
  });

  it('fills nothing where a line of text makes the places a guess', () => {
    expect(readBlock('Value\n38.2\n24.1', at('lvidd'))).toEqual({
      taken: [],
      refused: [{ text: 'Value', why: 'places-unsure' }],
    });
    expect(cellsOf('38.2\nwall poor\n7.2')).toEqual([]);
  });

  it('fills nothing from several columns of numbers', () => {
    expect(readBlock('38.2\t37.9\n24.1\t25.0', at('lvidd'))).toEqual({
      taken: [],
      refused: [{ text: '38.2 37.9', why: 'several-columns' }],
    });
  });

  it('names the values for which no cell is left', () => {
    expect(cellsOf('1.31\n104\n12\n13', 'ao-vmax')).toEqual([
      ['ao-vmax', 1, '1.31'],
      ['heart-rate', 1, '104'],
    ]);
    expect(whyOf('1.31\n104\n12\n13', 'ao-vmax')).toEqual([
      ['12', 'no-cell'],
      ['13', 'no-cell'],
    ]);
  });

  it('stays in the beat of the cell that was pasted into', () => {
    expect(cellsOf('38.9\n24.6', 'lvidd', 3)).toEqual([
      ['lvidd', 3, '38.9'],
      ['lvids', 3, '24.6'],
    ]);
  });
});

describe('pasted lines with names', () => {
  it('go by name wherever they are pasted, also beyond the table', () => {
    expect(cellsOf('IVSd: 7.2\nLVIDd 3,82 cm\ntapse=12', 'heart-rate')).toEqual([
      ['ivsd', 1, '7.2'],
      ['lvidd', 1, '3,82 cm'],
      ['tapse', 1, '12'],
    ]);
  });

  it('know the longer name before the shorter one, full names and the trade’s other ones', () => {
    expect(cellsOf('LA (short axis)\t24\nE′ 8\nE\t0.8\nLVPWd;7.1\nB-lines left 1 3')).toEqual([
      ['la-sax', 1, '24'],
      ['e-prime', 1, '8'],
      ['mitral-e', 1, '0.8'],
      ['lvwd', 1, '7.1'],
      ['b-lines-l1', 1, '3'],
    ]);
    expect(cellsOf("E' 8")).toEqual([['e-prime', 1, '8']]);
    expect(cellsOf('left ventricle in diastole 38.2')).toEqual([['lvidd', 1, '38.2']]);
  });

  it('take the unit that stands behind the name or in the next column', () => {
    expect(cellsOf('LVIDd (cm)\t3.82\nLVIDs\t24.1\tmm')).toEqual([
      ['lvidd', 1, '3.82 cm'],
      ['lvids', 1, '24.1 mm'],
    ]);
    expect(whyOf('LVIDd (kg) 3.82')).toEqual([['LVIDd (kg) 3.82', 'not-read']]);
  });

  it('take the same name again as the next beat', () => {
    expect(cellsOf('LVIDd 38.2\nLVIDd 37.6')).toEqual([
      ['lvidd', 1, '38.2'],
      ['lvidd', 2, '37.6'],
    ]);
  });

  it('leave a line without a known name, never by its place', () => {
    expect(cellsOf('LVIDd 38.2\n24.1\nLVXX 12')).toEqual([['lvidd', 1, '38.2']]);
    expect(whyOf('LVIDd 38.2\n24.1\nLVXX 12')).toEqual([
      ['24.1', 'no-name'],
      ['LVXX 12', 'no-name'],
    ]);
  });

  it('read no index and no second number as the measurement whose name they begin with', () => {
    expect(whyOf('LVIDd 38.2 24.1\nLVIDdN 1.75\nE:A 1.2\nLVIDd\t38.2\t2.5\nLVIDs')).toEqual([
      ['LVIDd 38.2 24.1', 'not-read'],
      ['LVIDdN 1.75', 'no-name'],
      ['E:A 1.2', 'not-read'],
      ['LVIDd 38.2 2.5', 'not-read'],
      ['LVIDs', 'no-value'],
    ]);
  });
});

describe('a plain value', () => {
  it('is left to the field', () => {
    for (const text of ['38.2', '3,82 cm', '38.2\n', '38.2\tmm', 'about 38', '']) {
      expect(readBlock(text, at('lvidd'))).toBeNull();
    }
  });
});

describe('what is said of a paste', () => {
  it('names each value with its cell and each line that was left with its reason', () => {
    const block = readBlock('LVIDd 38.2\nLVIDd 37.6\nLVXX 12', at('lvidd'));
    expect(block && sayPasted({ ...block, otherBeats: ['lvidd'] })).toBe(
      "Filled in: LVIDd 38.2; LVIDd, beat 2, 37.6. Not understood: 'LVXX 12' (no known name). Other beats stay and are averaged with it: LVIDd.",
    );
    const none = readBlock('Value\n38.2', at('lvidd'));
    expect(none && sayPasted(none)).toBe(
      "Nothing was filled in. Not understood: 'Value' (neither a number nor a known name, so the places of the values are not certain).",
    );
  });
});
