/** Absurd values in every field of a case: one sentence that names the field, exit code 1, nothing computed. */
import { closeSync, ftruncateSync, mkdirSync, mkdtempSync, openSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { interpretation } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { interpretFile } from './interpret-file';

const CASE = {
  schema: 1,
  patient: {
    species: 'dog',
    breedCode: 'mixed-breed',
    breedText: '',
    sex: 'female',
    neutered: true,
    ageMonths: 96,
    weight: { kg: 7.4, guessed: false },
  },
  plan: 'small-dog-murmur',
  urgencyAsked: null,
  state: {
    sedative: 'none',
    sedativeAt: null,
    diuretic24h: 'no',
    fluids24h: 'no',
    hydration: 'normal',
    rhythm: 'sinus',
    posture: 'lying-right',
    bodyCondition: 5,
    ascites: 'no',
    heartDrugs: null,
  },
  measurements: [
    {
      id: 'm1',
      code: 'lvidd',
      value: 33.2,
      unit: 'mm',
      view: 'rps-short-papillary',
      method: '2d',
      beat: 1,
      source: 'typed',
    },
    {
      id: 'm2',
      code: 'tr-vmax',
      value: 2.9,
      unit: 'm/s',
      view: null,
      method: null,
      beat: null,
      source: 'typed',
    },
  ],
  observations: [{ id: 'o1', code: 'murmur-grade', value: '4', side: 'sender' }],
  views: [{ view: 'rps-long-4ch', clipId: 'c1', judged: 'adequate', why: null }],
};

/** Stands for a field that is not there at all. */
const GONE = Symbol('gone');
const TEXT = 'absurd';

/** Every field with values that it cannot have; `null` is among them only where 'not known' is no answer. */
const ABSURD: Record<string, unknown[]> = {
  schema: [2, '1', null, GONE],
  patient: [null, [], 'dog', GONE],
  'patient.species': ['dragon', '', 7, null, ['dog'], GONE],
  'patient.breedCode': ['dobermann', '', 7, ['pug'], GONE],
  'patient.breedText': [7, null, {}, GONE],
  'patient.sex': ['m', null, 1, GONE],
  'patient.neutered': ['yes', 1, GONE],
  'patient.ageMonths': [-1, 1e9, 7.5, 'NaN', '96', {}, GONE],
  'patient.weight': [8, '8 kg', [], GONE],
  'patient.weight.kg': ['NaN', '7,4', '', null, -3, 0, 1e9, [7.4], true, GONE],
  'patient.weight.guessed': ['no', null, 0, GONE],
  plan: [TEXT, null, 7, GONE],
  urgencyAsked: ['now', 1, GONE],
  state: [null, [], TEXT, GONE],
  'state.sedative': [TEXT, 7, GONE],
  'state.sedativeAt': [7, [], 'x'.repeat(41), GONE],
  'state.diuretic24h': [TEXT, true, GONE],
  'state.fluids24h': [TEXT, 0, GONE],
  'state.hydration': [TEXT, 7, GONE],
  'state.rhythm': [TEXT, 7, GONE],
  'state.posture': [TEXT, 7, GONE],
  'state.bodyCondition': [0, 10, 1e9, -5, 4.5, '5', GONE],
  'state.ascites': [TEXT, 7, GONE],
  'state.heartDrugs': [7, ['pimobendan'], 'x'.repeat(401), GONE],
  measurements: [null, {}, TEXT, GONE],
  'measurements.0': [null, 33, [], TEXT],
  'measurements.0.id': [7, null, GONE],
  'measurements.0.code': ['heart', 'LVIDD', 7, null, GONE],
  'measurements.0.value': ['NaN', '33,2', '', null, -5, 0, 1e9, [33], {}, GONE],
  'measurements.0.unit': ['cm', 'm/s', 'inch', '', 7, null, GONE],
  'measurements.0.view': ['from-above', 7, GONE],
  'measurements.0.method': ['3d', 7, GONE],
  'measurements.0.beat': [0, -1, 1.5, 1e9, '1', GONE],
  'measurements.0.source': ['guess', null, GONE],
  observations: [null, {}, GONE],
  'observations.0.id': [7, null, GONE],
  'observations.0.code': ['mood', 7, null, GONE],
  'observations.0.value': ['7', 'perhaps', '', 4, null, ['4'], GONE],
  'observations.0.side': ['dog', 7, null],
  views: [null, {}, GONE],
  'views.0.view': ['from-above', 7, null, GONE],
  'views.0.clipId': [7, [], GONE],
  'views.0.judged': ['good', 7, null, GONE],
  'views.0.why': [7, GONE],
};

function withValue(path: string, value: unknown): unknown {
  const copy = structuredClone(CASE) as unknown as Record<string, unknown>;
  const keys = path.split('.');
  const last = keys.pop() as string;
  let place = copy;
  for (const key of keys) place = place[key] as Record<string, unknown>;
  if (value === GONE) delete place[last];
  else place[last] = value;
  return copy;
}

/** Paths of all fields of a case, lists by their first entry. */
function fieldsOf(value: unknown, path = ''): string[] {
  if (typeof value !== 'object' || value === null) return [path];
  const inner = Array.isArray(value)
    ? fieldsOf(value[0], `${path}.0`)
    : Object.entries(value).flatMap(([key, v]) => fieldsOf(v, path === '' ? key : `${path}.${key}`));
  return path === '' ? inner : [path, ...inner];
}

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'chordae-interpret-test-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function run(content: unknown, ...more: string[]) {
  const file = join(folder, 'case.json');
  writeFileSync(file, typeof content === 'string' ? content : JSON.stringify(content));
  const out: string[] = [];
  const said: string[] = [];
  const code = await interpretFile(
    [file, '--json', ...more],
    (line) => out.push(line),
    (line) => said.push(line),
  );
  return { code, out, said, file };
}

const ROWS = Object.entries(ABSURD).flatMap(([path, values]) =>
  values.map((value) => ({ path, value, shown: value === GONE ? 'not there' : JSON.stringify(value) })),
);

describe('chordae interpret, one field wrong', () => {
  it('has absurd values for every field of a case', () => {
    const known = new Set(fieldsOf(CASE).filter((f) => f !== 'observations.0' && f !== 'views.0'));
    expect([...known].filter((f) => !(f in ABSURD))).toEqual([]);
  });

  it.each(ROWS)('$path: $shown', async ({ path, value }) => {
    const { code, out, said } = await run(withValue(path, value));
    expect(code).toBe(1);
    expect(out).toEqual([]);
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(/^chordae interpret: [^\n]+\.$/);
    expect(said[0]).toContain(` ${path}`);
    expect(said[0]).not.toMatch(/Invalid|expected|undefined|\[object|Symbol/);
  });

  it.each([
    ['NaN is no JSON', '{"schema": NaN}', 'is not JSON'],
    ['a number past all numbers', JSON.stringify(CASE).replace('33.2', '1e999'), 'measurements.0.value'],
    ['a list for a case', '[]', 'the file wants an object'],
    ['text for a case', '"dog"', 'the file wants an object'],
    ['nothing for a case', 'null', 'the file wants an object'],
    ['an empty file', '', 'is empty'],
    ['blanks only', ' \n\t ', 'is empty'],
    ['no JSON', 'LVIDd 33 mm', 'is not JSON'],
    ['cut off', JSON.stringify(CASE).slice(0, 200), 'is not JSON'],
  ])('%s', async (_, content, words) => {
    const { code, out, said } = await run(content);
    expect({ code, out, lines: said.length }).toEqual({ code: 1, out: [], lines: 1 });
    expect(said[0]).toContain(words);
  });

  it.each([
    ['patient.weightLb', { ...CASE, patient: { ...CASE.patient, weightLb: 16 } }],
    ['patient.weight.unit', withValue('patient.weight', { kg: 7.4, guessed: false, unit: 'lb' })],
    ['measurements.0.units', { ...CASE, measurements: [{ ...CASE.measurements[0], units: 'cm' }] }],
    ['note', { ...CASE, note: 'please hurry' }],
  ])('a field that nothing reads is named: %s', async (path, content) => {
    const { code, out, said } = await run(content);
    expect({ code, out, lines: said.length }).toEqual({ code: 1, out: [], lines: 1 });
    expect(said[0]).toContain(` ${path} is no field that is read here`);
  });

  it('names an id that stands twice', async () => {
    const { code, said } = await run({
      ...CASE,
      measurements: [CASE.measurements[0], { ...CASE.measurements[1], id: 'm1' }],
    });
    expect(code).toBe(1);
    expect(said).toEqual(['chordae interpret: measurements.1.id: "m1" stands at measurements.0 as well.']);
  });

  it('says each thing that is wrong once, and not more than twenty of them', async () => {
    const two = await run({ ...CASE, plan: 'x', urgencyAsked: 'now' });
    expect(two.said.map((s) => s.split(' ')[2])).toEqual(['plan', 'urgencyAsked']);
    const many = await run({
      ...CASE,
      measurements: Array.from({ length: 30 }, (_, i) => ({
        ...CASE.measurements[0],
        id: `m${i}`,
        value: -1,
      })),
    });
    expect(many.said).toHaveLength(21);
    expect(many.said.at(-1)).toBe('chordae interpret: And 10 more.');
  });

  it('does not open a file of 50 MB, a folder, or what is not there', async () => {
    const large = join(folder, 'large.json');
    const handle = openSync(large, 'w');
    ftruncateSync(handle, 50 * 1024 * 1024);
    closeSync(handle);
    mkdirSync(join(folder, 'folder.json'));
    for (const [name, words] of [
      ['large.json', 'is larger than a case can be (52428800 bytes; at most 1048576)'],
      ['folder.json', 'cannot be read'],
      ['absent.json', 'cannot be read'],
    ] as const) {
      const said: string[] = [];
      const out: string[] = [];
      const code = await interpretFile(
        [join(folder, name), '--json'],
        (l) => out.push(l),
        (l) => said.push(l),
      );
      expect({ code, out, lines: said.length }).toEqual({ code: 1, out: [], lines: 1 });
      expect(said[0]).toContain(words);
    }
  });
});

describe('chordae interpret, a case that can be computed', () => {
  it('answers in the published schema', async () => {
    const { code, out, said } = await run(CASE);
    expect({ code, said }).toEqual({ code: 0, said: [] });
    expect(interpretation.parse(JSON.parse(out.join('\n'))).indices.map((i) => i.code)).toContain('lviddn');
  });

  it('computes nothing weight-normalised without a weight, and says that it is missing', async () => {
    const { code, out } = await run(withValue('patient.weight', null));
    const answer = interpretation.parse(JSON.parse(out.join('\n')));
    expect(code).toBe(0);
    expect(answer.indices.map((i) => i.code)).not.toContain('lviddn');
    expect(answer.missing.map((m) => m.code)).toContain('WEIGHT_MISSING');
  });

  it('wants a file, and a key after --trace', async () => {
    const said: string[] = [];
    const nothing = () => undefined;
    expect(await interpretFile(['--json'], nothing, (l) => said.push(l))).toBe(2);
    expect(await interpretFile(['x.json', '--trace'], nothing, (l) => said.push(l))).toBe(2);
    expect(said).toHaveLength(2);
  });
});
