/** Every code that the engine's source can emit has words: codes are read from the source, so none can be forgotten. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { checkCodes, ENGINE_VERSION, interpret, missingCodes, queueReasons } from '@chordae/interpretation';
import * as words from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { fullCase } from '../bench/full-case';
import { caseOf } from './case-of';

const root = new URL('../../packages/interpretation/src/', import.meta.url);

function sources(folder: URL): string[] {
  return readdirSync(folder).flatMap((name) => {
    const at = new URL(name, folder);
    if (statSync(at).isDirectory()) return sources(new URL(`${name}/`, folder));
    return name.endsWith('.ts') && !name.endsWith('.test.ts') ? [readFileSync(at, 'utf8')] : [];
  });
}

const all = sources(root).join('\n');
const upper = [
  ...new Set([...all.matchAll(/'([A-Z][A-Z0-9]*(?:_[A-Z0-9]+)+)'/g)].map((m) => m[1] as string)),
];
const said = new Set<string>([
  ...words.flagCodesInWords,
  ...words.cautionCodesInWords,
  ...words.changeCodesInWords,
  ...words.queueCodesInWords,
  ...words.errorCodesInWords,
  ...words.blockerCodesInWords,
  ...missingCodes,
  'NO_RULE_RAISED_IT',
  // The beginning of three caution codes, not a code.
  'FUNCTION_NOT_GRADED',
]);

describe('words for the engine', () => {
  it('has words for every finding code in the source', () => {
    expect(upper.length).toBeGreaterThan(80);
    expect(upper.filter((code) => !said.has(code))).toEqual([]);
  });

  it('has no flag words that the engine never uses', () => {
    const known = new Set(upper);
    expect(words.flagCodesInWords.filter((code) => !known.has(code))).toEqual([]);
  });

  it('has words for every check, stage, index and view', () => {
    expect(checkCodes.filter((code) => !(code in words.checkNames))).toEqual([]);
    const rules = sources(new URL('rules/', root)).join('\n');
    const stageCodes = [
      ...rules.matchAll(/(?:code: |stage\(|\? |: )'((?:echo|fits|suggests|b1-or|dcm|ph)-[a-z0-9-]+)'/g),
    ].map((m) => m[1] as string);
    expect(stageCodes.filter((code) => !words.stageCodesInWords.includes(code))).toEqual([]);
    for (const species of ['dog', 'cat'] as const) {
      for (const { code } of interpret(fullCase(species, 1)).indices)
        expect(words.indexNames[code], code).toBeDefined();
    }
  });

  it('says what changed in the version that runs', () => {
    expect(words.engineChanges[0]?.version).toBe(ENGINE_VERSION);
    expect(words.engineChanges.every((v) => v.changes.length > 0)).toBe(true);
  });

  it('says the example of the design: criteria met, murmur given, heart score not given', () => {
    const { flags } = interpret(
      caseOf({ measure: { lvidd: 32.8, 'la-sax': 23.75, 'ao-sax': 12.5 }, observe: { 'murmur-grade': '4' } }),
    );
    const flag = flags.find((f) => f.code === 'MITRAL_B2_ECHO_CRITERIA_MET');
    if (!flag) throw new Error('flag not raised');
    expect(words.sayFlag(flag).sentence).toBe(
      'Left atrium 1.90 times the aorta (from 1.6 enlarged) and left ventricle 1.82 weight-normalised (from 1.7): echo criteria of B2 are met; B2 only if never in failure; murmur 4/6 given; VHS not given. At least one of the two is within measuring error of its limit.',
    );
  });

  it('puts the telephone of the context into act-now sentences and says when there is none', () => {
    const [flag] = interpret(caseOf({ observe: { 'blue-gums': 'yes' } })).flags;
    if (!flag) throw new Error('flag not raised');
    expect(words.sayFlag(flag, { phone: '555 0100' }).sentence).toContain('Call 555 0100.');
    expect(words.sayFlag(flag).sentence).toContain('no telephone on file');
    expect(words.sayFlag(flag).sentence).not.toContain('{');
  });

  it('never gives the advice of one cause in a text of its opposite', () => {
    const both = interpret(
      caseOf({
        kg: 30,
        observe: {
          'pericardial-fluid': 'moderate',
          collapse: 'yes',
          'breathing-effort': 'yes',
          'b-lines': 'many-both-sides',
          'la-by-eye': 'large',
        },
      }),
    ).flags.map((f) => [f.code, words.sayFlag(f).sentence] as const);
    const text = new Map(both);
    expect(text.get('TAMPONADE_POSSIBLE')).toContain('A diuretic can worsen it');
    expect(text.get('FITS_LEFT_HEART_FAILURE')).not.toContain('Start treatment');
    const torn = interpret(
      caseOf({ kg: 8, observe: { 'pericardial-fluid': 'moderate', collapse: 'yes', 'murmur-grade': '4' } }),
    );
    const tornText = new Map(torn.flags.map((f) => [f.code, words.sayFlag(f).sentence] as const));
    expect(tornText.get('TORN_ATRIUM_POSSIBLE')).toContain('Drain only if it is going down');
    expect(tornText.get('TAMPONADE_POSSIBLE')).not.toContain('do not delay');
  });

  it('never writes an all-clear, an exclamation mark or the bare word normal in a flag or index', () => {
    for (const species of ['dog', 'cat'] as const) {
      const r = interpret(fullCase(species, 2));
      const lines = [
        ...r.flags.map((f) => words.sayFlag(f).sentence),
        ...r.indices.map((i) => words.sayIndex(i).sentence),
      ];
      for (const line of lines) {
        expect(line).not.toMatch(/!|undefined|NaN|\{|is normal/);
        expect(line.endsWith('.') || line.endsWith('?') || line.endsWith(').')).toBe(true);
      }
    }
    const empty = interpret(caseOf({}));
    expect(words.sayChecks(empty.flags.length, empty.checks)).toMatch(
      /^0 flags; none of 19 checks could run; not assessed: /,
    );
  });

  it('says every queue reason', () => {
    const reasons = queueReasons({
      actNow: true,
      urgency: 'emergency',
      dueAtMs: 0,
      sentAtMs: 0,
      nowMs: 1_320_000,
      clinicalWords: ['collapse'],
    });
    expect(words.sayQueuePlace(reasons)).toBe(
      'ticked: collapsed; an act-now flag stands; emergency; late by 22 min; waiting 22 min',
    );
  });
});
