import type { InterpretationInput, MeasurementCode, ViewId } from '@chordae/contract';
import { unitOf, viewsFor, viewsOf } from '@chordae/interpretation';

const DOG: Partial<Record<MeasurementCode, number>> = {
  lvidd: 33.4,
  lvids: 18.2,
  ivsd: 6.9,
  ivss: 10.1,
  lvwd: 7.2,
  lvws: 11.3,
  'la-sax': 22.4,
  'ao-sax': 12.6,
  'la-long': 30.2,
  epss: 3.4,
  'lv-edv': 31,
  'lv-esv': 11,
  'ao-vmax': 1.4,
  'pa-vmax': 1.1,
  'tr-vmax': 3.1,
  'mr-vmax': 5.6,
  'mitral-e': 1.25,
  'mitral-a': 0.8,
  ivrt: 52,
  tapse: 9.1,
  'heart-rate': 124,
  'breathing-rate': 28,
  vhs: 11.2,
};
const CAT: Partial<Record<MeasurementCode, number>> = {
  ...DOG,
  lvidd: 15.8,
  lvids: 8.1,
  ivsd: 6.2,
  ivss: 8.4,
  lvwd: 5.9,
  lvws: 8.8,
  'wall-max-d': 6.6,
  'la-sax': 17.2,
  'ao-sax': 9.8,
  'la-long': 17.1,
  'lv-edv': 6,
  'lv-esv': 2,
  vhs: 8.1,
  'heart-rate': 176,
  tapse: 7.9,
};
/** Second and third beats make 30 measurements of the case. */
const MORE_BEATS: MeasurementCode[] = [
  'lvidd',
  'lvids',
  'la-sax',
  'ao-sax',
  'lvidd',
  'lvids',
  'ivsd',
  'lvwd',
];

/** A full case of 30 measurements and 12 views; `i` moves every value a little, so that no two are alike. */
export function fullCase(species: 'dog' | 'cat', i: number): InterpretationInput {
  const values = species === 'dog' ? DOG : CAT;
  const base = Object.entries(values) as [MeasurementCode, number][];
  const extra = MORE_BEATS.map((code): [MeasurementCode, number] => [code, (values[code] ?? 1) * 1.02]);
  const rows = [...base, ...extra].slice(0, 30);
  const plan = species === 'dog' ? 'breeding-screen' : 'cat-before-anaesthesia';
  const views: ViewId[] = [
    ...new Set<ViewId>([
      ...viewsOf('breeding-screen').map((v) => v.view),
      'effusion-sweep',
      'lung-points',
      'lcr-base',
    ]),
  ].slice(0, 12);
  return {
    schema: 1,
    patient: {
      species,
      breedCode: species === 'dog' ? 'cavalier-king-charles-spaniel' : 'domestic-shorthair',
      breedText: '',
      sex: 'female',
      neutered: true,
      ageMonths: 112,
      weight: { kg: (species === 'dog' ? 8.2 : 4.6) + (i % 97) * 0.001, guessed: false },
    },
    plan,
    urgencyAsked: 'routine',
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
    measurements: rows.map(([code, value], n) => ({
      id: `m${n}`,
      code,
      value: value * (1 + (i % 89) * 1e-4),
      unit: unitOf(code),
      view: viewsFor(code)[0] ?? null,
      method: '2d',
      beat: n >= base.length ? 2 + Math.floor((n - base.length) / 4) : 1,
      source: 'typed',
    })),
    observations: [
      { id: 'o1', code: 'murmur-grade', value: '4' },
      { id: 'o2', code: 'ever-in-failure', value: 'no' },
      { id: 'o3', code: 'breathing-effort', value: 'no' },
      { id: 'o4', code: 'pericardial-fluid', value: 'none' },
    ],
    views: views.map((view, n) => ({
      view,
      clipId: `c${n}`,
      judged: n % 5 === 0 ? 'received' : 'adequate',
      why: null,
    })),
  };
}
