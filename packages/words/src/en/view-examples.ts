import type { ViewId } from '@chordae/contract';
import { viewGuides } from './view-guide';

/** What a moving example of a view shows. Own drawings' words; common practice, without a source. */
export interface ExampleWords {
  readonly name: string;
  /** What to look at. */
  readonly look: string;
}

const words = {
  tilted: {
    name: 'Cut not square',
    look: 'The heart is the normal one, the cut is not square to it: the cavity is oval in diastole and in systole. A septum flattened by pressure looks different in systole and diastole.',
  },
  dilated: {
    name: 'Dilated ventricle',
    look: 'A wide, round ventricle with thin walls that hardly narrows in systole.',
  },
  'mitral-leak': {
    name: 'Leaking mitral valve',
    look: 'A large left atrium and a wide ventricle that still squeezes well. The leak itself is not drawn: it takes colour or spectral Doppler.',
  },
  'large-left-atrium': {
    name: 'Large left atrium',
    look: 'The left atrium is about twice as wide as the aortic root beside it. Its auricle and the lung veins are not part of what is measured.',
  },
  'thick-walls': {
    name: 'Thick walls',
    look: 'Walls thick for the animal, a small cavity that nearly closes in systole. Thick walls alone do not name their cause.',
  },
  'right-overload': {
    name: 'Large right heart',
    look: 'The right heart is large and presses the septum flat, more so in systole.',
  },
  'narrow-outflow': {
    name: 'Narrow outlet',
    look: 'A ridge below the aortic valve and thick walls. The picture shows where it is narrow; how narrow takes aligned Doppler.',
  },
  'pericardial-effusion': {
    name: 'Fluid round the heart',
    look: 'A black rim between the heart and the sac round it. Look whether the right atrium or ventricle folds inward.',
  },
  'pleural-effusion': {
    name: 'Fluid in the chest',
    look: 'Black outside the sac, with an angular edge; the sac itself lies close to the heart.',
  },
  'wet-lung': {
    name: 'Many B-lines',
    look: 'Bright lines from the pleura to the lower edge that slide with the breath, several in one space: count them at each point.',
  },
} satisfies Record<string, ExampleWords>;

export type ExampleId = 'normal' | keyof typeof words;

/** What the example shows in views where the general sentence would name what is not in the picture. */
const inView: Partial<Record<ViewId, Partial<Record<ExampleId, string>>>> = {
  'rps-short-aortic': {
    'mitral-leak':
      'The left atrium is large against the aortic root beside it. The leak itself is not drawn: it takes colour or spectral Doppler.',
  },
  'rps-short-mitral': {
    dilated: 'A wide ventricle that hardly narrows; the leaflets open little against its size.',
  },
  'rps-short-pulmonary': {
    'right-overload': 'A wide right outlet and pulmonary artery beside an aorta of the usual size.',
  },
  'effusion-sweep': {
    normal: 'No black rim round the heart and none outside the sac, as far as this cut shows.',
  },
  'lung-points': {
    normal:
      'The pleural line slides with the breath, with its echoes below it. A single B-line may be seen in a healthy lung.',
  },
};

/** Name and sentence of an example in a view. `exampleWords('lap-4ch', 'dilated').name` is 'Dilated ventricle'. */
export function exampleWords(view: ViewId, example: ExampleId): ExampleWords {
  const own = inView[view]?.[example];
  if (example === 'normal') return { name: 'Normal', look: own ?? viewGuides[view].see };
  return { name: words[example].name, look: own ?? words[example].look };
}

export const EXAMPLE_MARK = 'Computed picture, no animal';
