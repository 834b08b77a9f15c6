import type { ObservationCode, Structure } from '@chordae/contract';

/** Indices that tell the same thing (size, function, walls …), the one to name first in front. */
export interface Aspect {
  readonly codes: readonly string[];
  /** Said only when it lies outside its limits: it adds nothing to what stands before it otherwise. */
  readonly onlyOutside?: true;
}

const always = (...codes: string[]): Aspect => ({ codes });
const outside = (...codes: string[]): Aspect => ({ codes, onlyOutside: true });

/**
 * Indices that speak about a structure, aspect by aspect. A test holds that every index has its place here or among those
 * that no structure of the picture owns.
 */
export const structureIndices: Record<Structure, readonly Aspect[]> = {
  'pericardium-pleura': [],
  'left-ventricle': [
    always('lviddn', 'lviddn-toy', 'lvidd', 'edvi', 'lv-ao-long'),
    always('fs', 'ef', 'epss', 'ef-teichholz'),
    outside('lvidsn', 'lvids', 'esvi'),
    always('wall-max-d', 'ivsd', 'lvwd'),
    outside('ivss', 'lvws'),
    outside('sphericity'),
    outside('mapse-free-wall', 'mapse-septum'),
  ],
  'left-atrium': [
    always('la-ao', 'la-ao-min'),
    always('la-long', 'la-ao-long', 'la-lv-long', 'la-long-500'),
    always('la-volume-kg', 'la-volume', 'la-area-500', 'la-area-annulus', 'la-area-max'),
    always('la-fs', 'laa-vmax', 'la-strain'),
  ],
  mitral: [always('mitral-e', 'mitral-a'), always('e-a', 'e-ivrt', 'ivrt', 'e-prime'), always('mr-gradient')],
  'aortic-outflow': [always('ao-gradient', 'ao-vmax'), always('ao-annulus'), always('aapse')],
  'right-heart': [
    always('rveda-n', 'rveda-index', 'rvidd'),
    always('tapsen', 'tapse', 'rv-fac', 'rvesa-n', 's-prime-n'),
  ],
  'tricuspid-pulmonic': [
    always('tr-gradient', 'tr-vmax'),
    always('pa-gradient', 'pa-vmax'),
    always('pr-vmax'),
  ],
  'great-vessels': [
    always('mpa-ao'),
    always('rpad'),
    always('at-et', 'pa-at'),
    always('pv-pa'),
    always('duct-vmax'),
    always('qp-qs'),
  ],
  rhythm: [always('heart-rate'), always('vpc-24h')],
};

/** Indices that are no part of a picture: they stand in the case, and no structure is described by them. */
export const indicesOfNoStructure: readonly string[] = [
  'vhs',
  'rlad',
  'systolic-pressure',
  'nt-probnp',
  't4',
  'potassium',
  'creatinine',
  'packed-cell-volume',
  'sleeping-breathing-rate',
];

/** Checks whose absence is said with a structure. */
export const structureChecks: Record<Structure, readonly string[]> = {
  'pericardium-pleura': ['pericardial-fluid', 'pleural-fluid', 'lungs'],
  'left-ventricle': ['left-ventricle-size', 'left-ventricle-function', 'walls'],
  'left-atrium': ['left-atrium', 'atrial-clot'],
  mitral: ['valves'],
  'aortic-outflow': ['aortic-outflow', 'valves'],
  'right-heart': ['right-heart', 'pulmonary-pressure'],
  'tricuspid-pulmonic': ['pulmonary-pressure', 'pulmonic-outflow', 'valves'],
  'great-vessels': ['ducts-and-shunts'],
  rhythm: ['rhythm'],
};

interface Seen {
  readonly in: readonly Structure[];
  /** What each answer says; 'not-seen' is said with what could not be judged. */
  readonly says: Readonly<Record<string, string>>;
}

const doubt = (what: string) => `${what} was not seen in the views that were given; that does not exclude it`;

/** Coded observations as findings. An answer of 'no' is never left to stand alone. */
export const observedFindings: Partial<Record<ObservationCode, Seen>> = {
  'pericardial-fluid': {
    in: ['pericardium-pleura'],
    says: {
      none: doubt('fluid round the heart'),
      small: 'a small amount of fluid round the heart',
      moderate: 'a moderate amount of fluid round the heart',
      large: 'a large amount of fluid round the heart',
    },
  },
  'clot-in-sac': {
    in: ['pericardium-pleura'],
    says: { yes: 'a clot in the pericardial sac', no: doubt('a clot in the pericardial sac') },
  },
  'wall-collapse': {
    in: ['pericardium-pleura'],
    says: {
      yes: 'the wall of the right atrium or of the right outflow collapses',
      no: 'collapse of the right atrium or outflow wall was not seen; high pressure in the right heart can hide it',
    },
  },
  'organ-in-sac': {
    in: ['pericardium-pleura'],
    says: {
      yes: 'an abdominal organ or fat in the pericardial sac is suspected',
      no: doubt('an abdominal organ or fat in the pericardial sac'),
    },
  },
  'pleural-fluid': {
    in: ['pericardium-pleura'],
    says: {
      none: doubt('fluid round the lungs'),
      small: 'a small amount of fluid round the lungs',
      moderate: 'a moderate amount of fluid round the lungs',
      large: 'a large amount of fluid round the lungs',
    },
  },
  'b-lines': {
    in: ['pericardium-pleura'],
    says: {
      none: 'no B-lines were seen at the points that were looked at; that does not exclude lung disease',
      few: 'few B-lines',
      'many-one-side': 'many B-lines on one side',
      'many-both-sides': 'many B-lines on both sides',
    },
  },
  'lung-sliding': {
    in: ['pericardium-pleura'],
    says: { yes: 'the lungs slide where they were looked at', no: 'the lungs were not seen to slide' },
  },
  'cavity-closes': {
    in: ['left-ventricle'],
    says: {
      yes: 'the left ventricle closes completely in systole',
      no: 'the left ventricle did not close completely in systole',
    },
  },
  'regional-hypokinesis': {
    in: ['left-ventricle'],
    says: {
      yes: 'part of the wall of the left ventricle moves less than the rest',
      no: doubt('a part of the wall that moves less'),
    },
  },
  'la-by-eye': {
    in: ['left-atrium'],
    says: {
      'not-large': 'by eye the left atrium was not large',
      large: 'by eye the left atrium is large',
      'very-large': 'by eye the left atrium is very large',
    },
  },
  'la-clot': {
    in: ['left-atrium'],
    says: {
      none: doubt('a clot or smoke in the left atrium'),
      fixed: 'a fixed clot in the left atrium',
      floating: 'a floating clot in the left atrium',
      smoke: 'swirling smoke in the left atrium',
    },
  },
  'mitral-prolapse': {
    in: ['mitral'],
    says: {
      yes: 'a mitral leaflet goes behind the ring (prolapse)',
      no: doubt('prolapse of a mitral leaflet'),
    },
  },
  sam: {
    in: ['mitral', 'aortic-outflow'],
    says: {
      yes: 'systolic anterior motion of the mitral valve (SAM)',
      no: doubt('systolic anterior motion of the mitral valve (SAM)'),
    },
  },
  'valve-lump': {
    in: ['mitral', 'aortic-outflow', 'tricuspid-pulmonic'],
    says: { yes: 'a lump on a valve was noted: say on which', no: doubt('a lump on a valve') },
  },
  'outlet-narrow': {
    in: ['aortic-outflow'],
    says: {
      yes: 'the outlet looks narrowed; without aligned Doppler that says nothing about a gradient',
      no: 'the outlet did not look narrowed; without aligned Doppler that does not exclude a gradient',
    },
  },
  'septum-flat': {
    in: ['right-heart'],
    says: { yes: 'the septum is flat', no: 'the septum was not flat in the views that were given' },
  },
  'rv-as-large-as-lv': {
    in: ['right-heart'],
    says: {
      yes: 'the right ventricle is as large as the left',
      no: 'the right ventricle was not as large as the left in the views that were given',
    },
  },
  'right-atrium': {
    in: ['right-heart'],
    says: { large: 'by eye the right atrium is large', 'not-large': 'by eye the right atrium was not large' },
  },
  'worms-in-right-heart': {
    in: ['right-heart'],
    says: { yes: 'worms in the right heart', no: doubt('a worm in the right heart') },
  },
  'duct-flow': {
    in: ['great-vessels'],
    says: { yes: 'flow through a duct', no: doubt('flow through a duct') },
  },
  'aortic-root-tear': {
    in: ['great-vessels'],
    says: { yes: 'a tear of the aortic root is suspected', no: doubt('a tear of the aortic root') },
  },
  arrhythmia: {
    in: ['rhythm'],
    says: {
      yes: 'an arrhythmia',
      'wide-beats-in-runs': 'wide beats in runs',
      no: 'no arrhythmia was noted; that does not exclude one at another time',
    },
  },
};
