import type { ViewId } from '@chordae/contract';

/** How a view is got, what must be seen, how it goes wrong. Common practice, without a source: nothing here replaces training. */
export interface ViewGuide {
  how: string;
  see: string;
  wrong: string;
}

const SHORT_AXIS =
  'From the long axis turn the probe a quarter turn, marker towards the elbow, without sliding';

export const viewGuides: Record<ViewId, ViewGuide> = {
  'rps-long-4ch': {
    how: 'Probe on the right, third to sixth space where the beat is felt, from below through the gap of the table; marker towards the neck, plane along the heart.',
    see: 'Both atria and both ventricles, a level septum, the mitral leaflets to their tips; left ventricle longest, right about a third of it.',
    wrong:
      'Apex round or cut off: slide back and point to the apex. Septum slanting: rock the probe. Right ventricle too big: the plane lies too far forward.',
  },
  'rps-long-outflow': {
    how: 'From the four-chamber view a very small turn and a tilt forward; smaller still in a cat.',
    see: 'Septum running into the aortic wall, both aortic leaflets, an outlet of even width, the first part of the aorta.',
    wrong:
      'Mitral and aortic valves both blurred: between two planes. A waist that goes with a small tilt is no waist.',
  },
  'rps-short-papillary': {
    how: `${SHORT_AXIS}, until two papillary muscles are seen.`,
    see: 'A round cavity, two papillary muscles of like size, walls squeezing evenly, right ventricle as a crescent.',
    wrong:
      'Oval cavity: turn or tilt is not complete, or the septum is flat; compare diastole with systole. One papillary muscle only: too near the apex, or oblique.',
  },
  'rps-short-chordae': {
    how: 'From the papillary view a little towards the base.',
    see: 'A round cavity without papillary heads.',
    wrong: 'Oval cavity: turn or tilt is not complete.',
  },
  'rps-short-mitral': {
    how: 'From the papillary view further towards the base.',
    see: "The 'fish mouth' of the mitral valve, opening fully.",
    wrong: 'Only one leaflet: the cut is oblique.',
  },
  'rps-short-aortic': {
    how: 'From the mitral level further towards the base, by tilting.',
    see: 'A round root with three cusps closing in a Y, the left atrium with its auricle, the atrial septum, no muscle round the root.',
    wrong:
      'Outlet coming in on the left of the picture: not turned far enough; on the right: too far. Do not measure the auricle or a lung vein with the atrium.',
  },
  'rps-short-pulmonary': {
    how: 'From the aortic level still further towards the base.',
    see: 'Right outflow, pulmonary valve, main artery and its fork, the aorta beside it.',
    wrong: 'Artery cut along its edge; Doppler beam across the flow.',
  },
  'lap-4ch': {
    how: 'Probe on the left, low window near the apex, marker towards the tail side, beam along the ventricle.',
    see: 'Mitral and tricuspid inflow, both ventricles to the apex; left heart on the right of the picture.',
    wrong: 'Foreshortened; or the beam more than 20 degrees off the jet, which then reads too low.',
  },
  'lap-5ch': {
    how: 'From the left apical view a small tilt forward.',
    see: 'Outlet and aortic valve in line with the beam.',
    wrong: 'Beam across the outlet: the velocity reads too low.',
  },
  'lcr-base': {
    how: 'Probe on the left, forward window.',
    see: 'Aorta, right atrium and auricle, tricuspid valve, pulmonary artery.',
    wrong: 'Fat taken for a mass: look twice.',
  },
  'subcostal-outflow': {
    how: 'Probe under the ribs, through the liver, pointing forward along the outlet.',
    see: 'Outlet and ascending aorta in line with the beam.',
    wrong: 'Depth too small, picture rate too low.',
  },
  'effusion-sweep': {
    how: 'All windows at a larger depth, in the position in which the animal breathes best.',
    see: 'The bright line of the pericardium: fluid inside it lies round the heart, fluid outside it round the lungs.',
    wrong:
      'Gain too high hides fluid, too low makes it. Fat, an abdominal organ in the sac and a large auricle look like it.',
  },
  'lung-points': {
    how: 'The agreed points on each side, about six seconds each.',
    see: 'The pleural line; B-lines counted at each point.',
    wrong: 'Too short a clip shows fewer lines.',
  },
  'eq-r-4ch': {
    how: 'Horse standing, right foreleg forward, right fourth space, depth 25 to 30 cm.',
    see: 'Both atria and ventricles with a level septum.',
    wrong: 'Depth too small, frequency too high.',
  },
  'eq-r-lvot': {
    how: 'Right fourth space, from the four-chamber view a small turn forward.',
    see: 'Left outlet, aortic valve and root.',
    wrong: 'Depth too small.',
  },
  'eq-r-rv': {
    how: 'Right fourth space, tilted forward.',
    see: 'Right inflow and outflow in one picture, pulmonary artery.',
    wrong: 'Depth too small.',
  },
  'eq-r-short-papillary': {
    how: 'Right fourth space, a quarter turn from the long axis.',
    see: 'A round cavity with two papillary muscles.',
    wrong: 'Oval cavity: the turn is not complete.',
  },
  'eq-l-2ch': {
    how: 'Left fifth space, plane along the heart.',
    see: 'Left atrium and mitral valve.',
    wrong: 'The atrium is cut off by too small a depth.',
  },
  'eq-l-lvot': {
    how: 'Left fifth space, tilted forward.',
    see: 'Left outlet and aortic valve.',
    wrong: 'Beam across the outlet.',
  },
  other: {
    how: 'As it comes.',
    see: 'Say in a word what it shows.',
    wrong: 'Without a named view nothing is graded by it.',
  },
};

/**
 * What is said wherever scanning is taught. Common practice, without a source, from memory; local rules and the licensed
 * veterinarian come first.
 */
export const scanningCautions: readonly string[] = [
  'An animal in distress is stabilised first and scanned in the position in which it breathes best; oxygen before the probe. Stop when it struggles.',
  'Hold gently. No animal is forced onto its side or back for a picture.',
  'Gel or water. No alcohol: it chills, harms some probes, and burns beside oxygen.',
  'Keep the power as low and the time as short as the question allows (ALARA).',
];

/** Which moment a measurement is taken at (common practice). */
export const momentsOfTheBeat =
  'End-diastole is the start of the QRS, or without a trace the frame with the largest cavity; end-systole the frame with the smallest. The same edges each time: inner edge to inner edge in 2-D, leading edge to leading edge in M-mode.';
