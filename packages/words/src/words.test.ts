import type { IndexChange } from '@chordae/contract';
import { describe, expect, it } from 'vitest';
import { sayChange, sayChangeCaution, sayDifference, sayEngineNews } from './en/changes';
import { sayChecks, sayChecksShort, sayField, sayMissing } from './en/completeness';
import { sayError } from './en/errors';
import { lookWords } from './en/flags-look';
import {
  formatBeside,
  formatBytes,
  formatMinutes,
  formatNumber,
  formatTimeLeft,
  formatWithUnit,
} from './en/numbers';
import { sayProblem } from './en/problems';
import { flagCodesInWords, sayFlagCode, sayNobodyReading } from './en/say-flag';

describe('numbers in words', () => {
  it('never rounds a value onto a bound that it does not reach', () => {
    expect(formatBeside(1.6996, 1.7, 2)).toBe('1.6996');
    expect(formatBeside(1.7, 1.7, 2)).toBe('1.70');
    expect(formatWithUnit(1.5951, 'ratio', 1.6)).toBe('1.595');
  });

  it('writes a decimal comma where it is wanted, and says when there is no number', () => {
    expect(formatNumber(3.816, 2, { decimalComma: true })).toBe('3,82');
    expect(formatNumber(Number.NaN, 2)).toBe('no number');
    expect(formatNumber(-0.001, 1)).toBe('0.0');
  });

  it('writes units, times and sizes', () => {
    expect(formatWithUnit(38.2, 'mm')).toBe('38.2 mm');
    expect(formatWithUnit(124, '/min')).toBe('124/min');
    expect(formatMinutes(135)).toBe('2 h 15 min');
    expect(formatMinutes(2880)).toBe('2 days');
    expect(formatBytes(10_485_760)).toBe('10.5 MB');
    expect(formatTimeLeft(4)).toBe('a few seconds left');
    expect(formatTimeLeft(185)).toBe('about 3 min left');
  });
});

describe('unknown codes', () => {
  it('are said with their code instead of staying silent', () => {
    expect(sayError('SOMETHING_NEW')).toContain('SOMETHING_NEW');
    expect(sayProblem({ code: 'SOMETHING_NEW', data: {} })).toContain('SOMETHING_NEW');
  });
});

describe('flags and checks', () => {
  const rest = { of: 19, notAssessed: ['lungs', 'rhythm'] };

  it('count the flags of the checks that ran, and never sound like an all-clear', () => {
    expect(sayChecks(0, { ran: 17, ...rest })).toBe(
      '0 flags from 17 of 19 checks; not assessed: lungs, rhythm.',
    );
    expect(sayChecksShort(1, { ran: 17, ...rest })).toBe('1 flag from 17 of 19 checks; 2 not assessed.');
    expect(sayChecks(2, { ran: 19, of: 19, notAssessed: [] })).toBe(
      '2 flags from 19 of 19 checks; all were assessed.',
    );
  });

  it('do not say that a flag came from a check where none could run', () => {
    expect(sayChecks(1, { ran: 0, ...rest })).toBe(
      '1 flag; none of 19 checks could run; not assessed: lungs, rhythm.',
    );
    expect(sayChecksShort(0, { ran: 0, ...rest })).toBe('0 flags; none of 19 checks could run.');
  });
});

describe('news of the engine', () => {
  const differences = [{ kind: 'urgency', from: 'routine', to: 'urgent' }] as const;

  it('name the versions, or that only the limits changed', () => {
    expect(sayEngineNews({ fromVersion: '0.2.0', toVersion: '0.3.0', differences: [...differences] })).toBe(
      'The rules changed since this case was first computed (0.2.0 to 0.3.0): one answer differs.',
    );
    expect(
      sayEngineNews({
        fromVersion: '0.3.0',
        toVersion: '0.3.0',
        differences: [...differences, ...differences],
      }),
    ).toBe(
      'The limits changed since this case was first computed (engine 0.3.0 as before): 2 answers differ.',
    );
  });
});

describe('differences between two answers', () => {
  const position = { kind: 'position', index: 'la-ao', from: 'within', to: 'above' } as const;

  it('say whether the other answer is the one of now or the one of before', () => {
    expect(sayDifference(position, 'now')).toBe('LA:Ao above its limit (now within its limits)');
    expect(sayDifference(position, 'before')).toBe('LA:Ao above its limit (before within its limits)');
    expect(sayDifference({ kind: 'urgency', from: 'routine', to: 'emergency' }, 'before')).toBe(
      'urgency emergency (before routine)',
    );
  });

  it('name the index of a flag, and write short forms as the trade does', () => {
    const flag = { kind: 'flag', change: 'appears' } as const;
    expect(sayDifference({ ...flag, code: 'OUTSIDE_LIMIT', key: 'limit.epss' }, 'now')).toBe(
      'this flag appears: EPSS outside its limit',
    );
    expect(sayFlagCode('LA_ENLARGED')).toBe('LA enlarged');
    expect(sayFlagCode('MITRAL_B2_ECHO_CRITERIA_MET')).toBe('mitral B2 echo criteria met');
    expect(sayFlagCode('E_A_LIKELY_FUSED')).toBe('E:A likely fused');
    expect(sayFlagCode('LVIDS_NOT_BELOW_LVIDD')).toBe('LVIDs not below LVIDd');
    expect(flagCodesInWords.map(sayFlagCode).filter((text) => text.includes('_'))).toEqual([]);
  });
});

describe('thick walls of a cat', () => {
  const said = (given: Record<string, number | string | null>) =>
    lookWords.CAT_WALL_THICK?.({
      valueMm: 6.5,
      band: 'thick',
      scale: 'ACVIM 2020',
      closeness: 'clear',
      mimics: ['hypertension', 'hyperthyroidism'],
      dry: false,
      ...given,
    }).sentence ?? '';

  it('name the mimics and say which numbers were given and which were not', () => {
    expect(said({ pressureMmHg: null, pressureMethod: null, t4NmolPerL: null })).toMatch(
      /high blood pressure \(measure it\) or hyperthyroidism \(T4\)\. Not given: blood pressure and T4\.$/,
    );
    expect(said({ pressureMmHg: 172, pressureMethod: 'doppler', t4NmolPerL: null })).toMatch(
      /from high blood pressure or hyperthyroidism \(T4\)\. Given: blood pressure 172 mmHg \(Doppler\)\. Not given: T4\.$/,
    );
    expect(said({ pressureMmHg: 150, pressureMethod: null, t4NmolPerL: 31.2 })).toMatch(
      / Given: blood pressure 150 mmHg \(method not given\) and T4 31\.2 nmol\/l \(not graded here\)\.$/,
    );
  });

  it('say nothing of them in answers of an engine that did not', () => {
    expect(said({})).not.toMatch(/[Gg]iven/);
  });
});

describe('a change over time', () => {
  const change: IndexChange = {
    index: 'la-ao',
    unit: 'ratio',
    now: 1.281,
    earlier: 1.28,
    earlierOn: '2026-02-03',
    difference: 0.001,
    smallest: 0.35,
    verdict: 'cannot-be-told',
    against: 'last',
    operators: 'same',
    cautions: [],
  };

  it('has no sign where nothing is left of it', () => {
    expect(sayChange(change)).toBe(
      'LA:Ao 1.28, was 1.28 on 3 February 2026: no difference; cannot be told from measuring error (told from 0.35).',
    );
    expect(sayChange({ ...change, difference: -0.2 })).toContain(': −0.20;');
  });

  it('says the states of the two scans as the sheet asks for them', () => {
    expect(
      sayChangeCaution({ code: 'STATE_DIFFERS', data: { field: 'sedative', now: null, earlier: 'alpha-2' } }),
    ).toBe('Sedative differs: now not asked, then alpha-2 agonist.');
  });
});

describe('sentences', () => {
  it('names the file problem and what can be done', () => {
    expect(sayProblem({ code: 'FORMAT_NOT_YET_READ', data: { what: 'an MP4 film' } })).toBe(
      'This is an MP4 film we do not read yet. Export it as DICOM, JPEG or PNG from the machine if you can.',
    );
  });

  it('says what a missing field blocks', () => {
    expect(
      sayMissing({ code: 'WEIGHT_MISSING', field: 'patient.weight', blocks: ['lviddn', 'lvidsn'] }),
    ).toBe('Body weight is missing: LVIDDN and LVIDSN are not computed.');
    expect(sayField('observation.murmur-grade')).toBe('murmur grade');
  });

  it('says plainly that nobody is reading', () => {
    expect(sayNobodyReading('07:00', { contact: 'night clinic, 555 0199' })).toBe(
      'Nobody is reading until 07:00. Treat on your own judgement. Nearest emergency contact: night clinic, 555 0199.',
    );
    expect(sayNobodyReading(null, {})).toContain('No telephone on file.');
  });
});
