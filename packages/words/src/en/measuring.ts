import type { MeasurementCode } from '@chordae/contract';
import { formatNumber } from './numbers';

/** Tools of the desk: their names, and what to do with the hand. */
export const toolWords = {
  length: { name: 'Length', put: ['one end', 'the other end'] },
  pair: {
    name: 'LA and Ao',
    put: ['one side of the atrium', 'its other side', 'one side of the aorta', 'its other side'],
  },
  'lv-set': {
    name: 'Walls and cavity',
    put: [
      'outer side of the septum, diastole',
      'inner side of the septum, diastole',
      'inner side of the free wall, diastole',
      'outer side of the free wall, diastole',
      'outer side of the septum, systole',
      'inner side of the septum, systole',
      'inner side of the free wall, systole',
      'outer side of the free wall, systole',
    ],
  },
  angle: { name: 'Angle', put: ['one arm', 'the corner', 'the other arm'] },
  outline: { name: 'Outline', put: ['the edge, all round: by hand in one go, or point by point'] },
  ellipse: {
    name: 'Ellipse',
    put: ['one end of an axis', 'its other end', 'how far the other axis reaches'],
  },
  discs: {
    name: 'Discs',
    put: ['the inner wall from one side of the base to the other, by hand or point by point'],
  },
  'discs-two': {
    name: 'Discs, two planes',
    put: [
      'the inner wall from one side of the base to the other, by hand or point by point',
      'the same in the second plane; any tile will do',
    ],
  },
  time: { name: 'Time', put: ['the beginning', 'the end'] },
  slope: { name: 'Slope', put: ['the beginning of the slope', 'a later point on it'] },
  velocity: { name: 'Doppler point', put: ['the outer edge of the curve'] },
  trace: { name: 'Flow trace (VTI)', put: ['the outer edge of the curve from its beginning to its end'] },
  calibration: {
    name: 'Scale by two points',
    put: ['one mark of a known distance', 'the other mark'],
  },
  cavity: { name: 'Short-axis outline', put: ['the inner edge of the ventricle, all round'] },
} as const satisfies Record<string, { readonly name: string; readonly put: readonly string[] }>;
export type MeasuringTool = keyof typeof toolWords;

/** What can be read off a drawing. */
export const drawnQuantityNames: Record<string, string> = {
  length: 'length',
  angle: 'angle',
  area: 'area',
  circumference: 'circumference',
  'long-axis': 'long axis',
  'short-axis': 'short axis',
  volume: 'volume',
  'axes-differ': 'long axes differ by',
  time: 'time',
  rate: 'as one beat',
  slope: 'slope',
  'half-time': 'pressure half-time',
  velocity: 'velocity',
  gradient: 'gradient (4v²)',
  vti: 'VTI',
  peak: 'peak',
  'mean-gradient': 'mean gradient',
  'acceleration-time': 'to the peak',
  'ejection-time': 'whole flow',
  ratio: 'ratio of pixels',
  less: 'shorter by',
};

const UNITS: Record<string, { readonly text: string; readonly decimals: number }> = {
  mm: { text: ' mm', decimals: 1 },
  cm: { text: ' cm', decimals: 1 },
  cm2: { text: ' cm²', decimals: 2 },
  ml: { text: ' ml', decimals: 1 },
  ratio: { text: '', decimals: 2 },
  deg: { text: '°', decimals: 0 },
  '%': { text: ' %', decimals: 0 },
  ms: { text: ' ms', decimals: 0 },
  '/min': { text: '/min', decimals: 0 },
  'm/s': { text: ' m/s', decimals: 2 },
  'cm/s': { text: ' cm/s', decimals: 1 },
  'cm/s2': { text: ' cm/s²', decimals: 0 },
  mmHg: { text: ' mmHg', decimals: 0 },
};

/** `sayDrawn(38.22, 'mm')` is '38.2 mm'. */
export function sayDrawn(value: number, unit: string): string {
  const known = UNITS[unit] ?? { text: ` ${unit}`, decimals: 1 };
  return `${formatNumber(value, known.decimals)}${known.text}`;
}

/** `sayBetween(37.9, 38.5, 'mm')` is '37.9 to 38.5'. */
export function sayBetween(least: number, most: number, unit: string): string {
  const decimals = UNITS[unit]?.decimals ?? 1;
  return `${formatNumber(least, decimals)} to ${formatNumber(most, decimals)}`;
}

/** Why a drawing gives no number. */
export const measuringFindings = {
  CALIBRATION_MISSING:
    'This place has no scale: no number can be given until somebody says how long a pixel is.',
  CALIBRATION_IMPLAUSIBLE: "The file's own scale contradicts the picture here: no number is given on it.",
  POINTS_IN_DIFFERENT_REGIONS:
    'The points lie in different parts of the picture, which have different scales. Put all into one.',
  REGION_WITHOUT_LENGTH:
    'This part of the picture is not scaled in centimetres: a length cannot be measured in it.',
  REGION_WITHOUT_TIME: 'Time does not run across this part of the picture.',
  REGION_WITHOUT_VELOCITY: 'This part of the picture is not scaled in velocities.',
  REGION_WITHOUT_AREA: 'Areas, angles and volumes need a two-dimensional picture scaled in centimetres.',
  REGION_WITHOUT_SLOPE: 'A slope needs a scale in both directions: this part of the picture has only time.',
  BASELINE_MISSING: 'The file does not say where the baseline lies: no velocity can be read.',
  TIME_SPAN_ZERO: 'The two moments are closer than a pixel.',
  BEATS_MISSING: 'No beat has been measured.',
  POINTS_MISSING: 'Some points are still to be put.',
  DRAWING_WITHOUT_SIZE: 'What is drawn has no size, or is too small to measure by.',
  FLOW_MISSING: 'The trace does not leave the baseline.',
  AXIS_OUTSIDE_WALL: 'The long axis leaves the wall that was drawn: draw the wall on, or move the far end.',
  LONG_AXES_DIFFER:
    'The long axes of the two planes differ by more than 20 %: they are not the same chamber cut well twice.',
} as const;

/** Moments at which things are measured. */
export type MeasuringMoment = 'end-diastole' | 'end-systole' | 'early-diastole' | 'any';
export const momentNames: Record<MeasuringMoment, string> = {
  'end-diastole': 'at end-diastole (start of the QRS, or the largest cavity)',
  'end-systole': 'at end-systole (the smallest cavity)',
  'early-diastole': 'in early diastole (first frame with the aortic valve closed)',
  any: '',
};

export interface MeasuringGuide {
  readonly tool: MeasuringTool;
  /** From where to where, or along what. */
  readonly how: string;
  readonly moment: MeasuringMoment;
  readonly source: string;
}

const PRACTICE = 'common practice';
const THOMAS = 'views after Thomas et al. 1993; edges by common practice';
const guide = (
  tool: MeasuringTool,
  how: string,
  moment: MeasuringMoment = 'any',
  source = PRACTICE,
): MeasuringGuide => ({ tool, how, moment, source });

const INNER = 'inner edge to inner edge (M-mode: leading edge to leading edge)';
const WALL = 'without papillary muscle, false tendons or the bright pericardium';
const PEAK = 'outer edge of the curve at its peak, beam along the flow';

/** How each quantity is measured on the desk; what is not here is typed, not drawn. */
export const measuringGuides: Partial<Record<MeasurementCode, MeasuringGuide>> = {
  lvidd: guide('length', INNER, 'end-diastole', THOMAS),
  lvids: guide('length', INNER, 'end-systole', THOMAS),
  ivsd: guide('length', `across the septum, ${WALL}`, 'end-diastole', THOMAS),
  ivss: guide('length', `across the septum, ${WALL}`, 'end-systole', THOMAS),
  lvwd: guide('length', `across the free wall, ${WALL}`, 'end-diastole', THOMAS),
  lvws: guide('length', `across the free wall, ${WALL}`, 'end-systole', THOMAS),
  'wall-max-d': guide('length', `the thickest segment of all walls, ${WALL}`, 'end-diastole', THOMAS),
  'la-sax': guide(
    'pair',
    'inner edge to inner edge, along the line between the cusps; never into a pulmonary vein or the auricle',
    'early-diastole',
    THOMAS,
  ),
  'la-ao-ratio': guide(
    'pair',
    'without a scale: atrium, then aorta, inner edge to inner edge on one frame',
    'early-diastole',
    THOMAS,
  ),
  'fs-ratio': guide('lv-set', 'without a scale: the cavity in diastole and in systole', 'any', THOMAS),
  'ao-sax': guide(
    'pair',
    'inner edge to inner edge, along the line between the cusps',
    'early-diastole',
    THOMAS,
  ),
  'la-min-sax': guide('length', 'inner edge to inner edge, at its smallest', 'end-diastole'),
  'la-long': guide('length', 'inner edge to inner edge, parallel to the mitral ring', 'end-systole', THOMAS),
  'la-m-mode-max': guide('length', 'inner edge to inner edge, at its largest', 'end-systole'),
  'la-m-mode-min': guide('length', 'inner edge to inner edge, at its smallest', 'end-diastole'),
  'la-volume': guide('discs', 'inner wall from one side of the mitral ring to the other', 'end-systole'),
  'la-area-max': guide('outline', 'inner edge, closed along the mitral ring', 'end-systole'),
  'lv-edv': guide(
    'discs',
    'inner wall from one side of the mitral ring to the other, papillary muscles inside',
    'end-diastole',
    'Lang et al. 2015 (ASE/EACVI)',
  ),
  'lv-esv': guide(
    'discs',
    'inner wall from one side of the mitral ring to the other, papillary muscles inside',
    'end-systole',
    'Lang et al. 2015 (ASE/EACVI)',
  ),
  'lv-length-d': guide('length', 'middle of the mitral ring to the apex', 'end-diastole'),
  epss: guide('length', 'from the E point of the septal leaflet to the septum'),
  'ao-annulus': guide('length', 'between the hinges of the open cusps, inner edges'),
  'pulmonary-vein': guide('length', 'inner edge to inner edge'),
  'pulmonary-artery-beside-vein': guide('length', 'inner edge to inner edge'),
  mpa: guide('length', 'inner edge to inner edge, below the fork', 'end-diastole'),
  'ao-beside-mpa': guide('length', 'inner edge to inner edge, on the same frame', 'end-diastole'),
  'rpa-max': guide('length', 'inner edge to inner edge, at its widest', 'end-systole'),
  'rpa-min': guide('length', 'inner edge to inner edge, at its narrowest', 'end-diastole'),
  rvidd: guide('length', 'inner edge to inner edge, at its widest', 'end-diastole'),
  'rv-area-d': guide('outline', 'inner edge, closed along the tricuspid ring', 'end-diastole'),
  'rv-area-s': guide('outline', 'inner edge, closed along the tricuspid ring', 'end-systole'),
  tapse: guide('length', 'in M-mode: lowest to highest point of the tricuspid ring'),
  aapse: guide('length', 'in M-mode: lowest to highest point of the aortic ring'),
  'mapse-free-wall': guide('length', 'in M-mode: lowest to highest point of the mitral ring'),
  'mapse-septum': guide('length', 'in M-mode: lowest to highest point of the mitral ring'),
  'd-lvot': guide('length', 'inner edge to inner edge, below the valve', 'any'),
  'd-rvot': guide('length', 'inner edge to inner edge, below the valve', 'any'),
  'ao-vmax': guide('velocity', PEAK),
  'pa-vmax': guide('velocity', PEAK),
  'lvot-vmax': guide('velocity', `${PEAK}, before the narrowing`),
  'tr-vmax': guide('velocity', PEAK),
  'mr-vmax': guide('velocity', PEAK),
  'pr-vmax': guide('velocity', PEAK),
  'duct-vmax': guide('velocity', PEAK),
  'laa-vmax': guide('velocity', PEAK),
  'mitral-e': guide('velocity', 'peak of the early wave'),
  'mitral-a': guide('velocity', 'peak of the wave by the atrium'),
  'e-prime': guide('velocity', 'peak of the early movement of the ring'),
  's-prime-rv': guide('velocity', 'peak of the systolic movement of the ring'),
  ivrt: guide('time', 'from the end of the outflow to the beginning of the inflow'),
  'pa-at': guide('trace', 'from the beginning of the flow to its end; the time to the peak is taken'),
  'pa-et': guide('trace', 'from the beginning of the flow to its end'),
  'vti-lvot': guide('trace', 'outer edge from the beginning of the flow to its end'),
  'vti-rvot': guide('trace', 'outer edge from the beginning of the flow to its end'),
  'heart-rate': guide('time', 'from one R wave to the next, or one beat to the next'),
};
