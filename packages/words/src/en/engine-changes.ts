/** What changed between versions of the engine, newest first; a test ties the first to the version that runs. */
export interface EngineChanges {
  readonly version: string;
  /** Day, YYYY-MM-DD. */
  readonly on: string;
  readonly changes: readonly string[];
}

export const engineChanges: readonly EngineChanges[] = [
  {
    version: '0.6.0',
    on: '2026-11-26',
    changes: [
      'NT-proBNP is graded only where it is said to be a laboratory’s number: the published limit is for such a one. By any other kind of test, or none named, it is shown and not graded. It is shown in dogs as well, without a limit.',
      'LA:Ao and FS may be measured as ratios of pixels on pictures without a scale, such as a filmed screen: they are graded by the same limits and say so. Two sizes in mm, where they are there, go before.',
      'NT-proBNP is compared with an earlier value only where both were measured by the same kind of test; a blood pressure is not compared with one taken in another known way.',
    ],
  },
  {
    version: '0.5.0',
    on: '2026-11-26',
    changes: [
      'No number, flag or stage changed. Answers come about 1.7 times as fast, and the hash that stands for what was given is written in another way, so that it differs from that of earlier versions.',
      'Where several sizes are questioned at once, they are listed in the order in which they are measured, no longer by the alphabet.',
    ],
  },
  {
    version: '0.4.0',
    on: '2026-11-26',
    changes: [
      'Cats with thick walls: of the diseases that look the same, blood pressure (with its method) and T4 are said to be given or not given.',
      'T4, potassium, creatinine, packed cell volume and the breathing rate asleep can be given with a scan: shown, not graded, because no published limit is held for them.',
    ],
  },
  {
    version: '0.3.0',
    on: '2026-11-26',
    changes: [
      'Dogs: an aortic velocity of 1.9 to 2.4 m/s is said to be in the zone that a cardiologist settles, when the question is a narrowed outlet or breeding. The rule was there and never spoke.',
      'The distress switch of the sheet: it stops the scanning as open-mouth breathing does: an emergency, and nothing more is asked for.',
      'Bounds read again with their sources: an area change of the right ventricle of exactly 30.0 % (dog) and a pulmonic velocity of exactly 1.2 m/s (cat) lie outside, as printed; three Warmblood sizes kept for the library stood in cm and stand in mm; the repeatability of TAPSE names the paper that it comes from.',
    ],
  },
  {
    version: '0.2.0',
    on: '2026-11-25',
    changes: [
      'Right heart and pulmonary artery of dogs: TAPSE, S′, areas and area change of the right ventricle, distensibility of the right pulmonary artery, acceleration time, main artery to aorta, each with its limit; probability of pulmonary hypertension (ACVIM 2020, table from memory).',
      'Task-force score of dilated cardiomyopathy (2003) with what is met, not met and not given; sphericity; extra beats in 24 hours for Dobermans and Boxers.',
      'Cats: left atrium at end-diastole and over the annulus, its function, auricle velocity, tissue velocity, excursion of the aortic ring, NT-proBNP, blood pressure; phenotype as far as the numbers allow.',
      'Counted lung points (Ward 2017 and 2018), also towards the act-now rule of heart failure.',
      'Dogs: long-axis ratios of atrium, ventricle and aorta; E:IVRT; pulmonary vein to artery; Qp:Qs; a gradient takes off the velocity before the narrowing when that is above 1 m/s.',
      'B-lines on one side with distress and a large left atrium are an emergency as well: before, a larger atrium could take the message away.',
      'A 95 % interval for every index whose measurements have a published repeatability (Fieller for ratios, exact for gradients).',
      'A second published set (Esser 2020) is named where it puts a left ventricle elsewhere than the set that grades.',
    ],
  },
  {
    version: '0.1.0',
    on: '2026-11-25',
    changes: ['First engine.'],
  },
];
