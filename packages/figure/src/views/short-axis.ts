import { circle, drawing, label, line, wall } from './drawing';

const CRESCENT = 'M67 104 Q50 42 116 26 Q188 22 182 112';
const CRESCENT_INNER = 'M71 92 Q64 48 117 35 Q176 33 178 98';

/** Round left ventricle below a crescent of right ventricle, two papillary muscles of like size in the far field. */
export const shortPapillary = drawing(
  [
    wall(circle(124, 116, 58)),
    wall(
      'M124 74 Q164 76 166 112 Q166 128 156 140 Q150 124 136 128 Q130 136 140 152 Q124 158 108 152 Q118 136 112 128 Q98 124 92 140 Q82 128 82 112 Q84 76 124 74 Z',
    ),
    line(CRESCENT),
    line(CRESCENT_INNER),
  ],
  [label(124, 106, 'LV'), label(132, 46, 'RV')],
  0.86,
  13,
  33,
);

/** Between papillary muscles and mitral valve: a round cavity without papillary heads. */
export const shortChordae = drawing(
  [
    wall(circle(124, 116, 58)),
    wall(circle(124, 116, 43)),
    line(CRESCENT),
    line(CRESCENT_INNER),
    line('M104 132 l3 6'),
    line('M144 132 l-3 6'),
    line('M112 138 l2 6'),
    line('M136 138 l-2 6'),
  ],
  [label(124, 112, 'LV'), label(132, 46, 'RV')],
  0.86,
  13,
  33,
);

/** The mitral valve as a fish mouth in the round ventricle. */
export const shortMitral = drawing(
  [
    wall(circle(124, 116, 58)),
    wall(circle(124, 116, 45)),
    line(CRESCENT),
    line(CRESCENT_INNER),
    line('M88 126 Q104 102 124 104 Q144 102 160 126 Q144 148 124 146 Q104 148 88 126 Z'),
    line('M96 126 Q110 112 124 113 Q138 112 152 126 Q138 138 124 137 Q110 138 96 126 Z'),
  ],
  [label(124, 129, 'MV'), label(124, 92, 'LV'), label(132, 46, 'RV')],
);

const ROOT = circle(122, 92, 25);
const CUSPS = ['M122 92 L122 117', 'M122 92 L100.4 79.5', 'M122 92 L143.6 79.5'];

/** Round root with three cusps in a Y; left atrium with its auricle below, right atrium left, right outflow above and right. */
export const shortAortic = drawing(
  [
    line(ROOT),
    ...CUSPS.map(line),
    // Left atrium: body on the left and below, auricle reaching to the right.
    line(
      'M104 110 Q72 116 68 140 Q74 168 110 170 Q140 170 156 154 Q176 150 182 134 Q168 122 150 128 Q136 124 132 116',
    ),
    // Atrial septum, right atrium, tricuspid valve, right outflow, pulmonary valve.
    line('M98 98 L66 126'),
    line('M66 126 Q48 104 62 82 Q74 66 92 66'),
    line('M92 66 L104 74'),
    line('M92 66 Q104 42 134 44 Q176 50 190 92'),
    line('M144 80 Q160 86 166 104'),
    line('M166 104 L174 96'),
    line('M190 92 L180 98'),
  ],
  [
    label(122, 82, 'Ao'),
    label(112, 146, 'LA'),
    label(162, 143, 'LAu'),
    label(80, 94, 'RA'),
    label(140, 58, 'RVOT'),
  ],
  0.95,
  4,
  18,
);

/** Aorta beside the right outflow, pulmonary valve, main artery and its fork. */
export const shortPulmonary = drawing(
  [
    line(circle(104, 90, 24)),
    line('M68 74 Q86 46 126 44 Q172 50 186 90 Q192 116 182 138'),
    line('M130 78 Q148 88 152 106 Q154 124 146 136'),
    // Pulmonary valve, then the fork: right branch below the aorta to the left, left branch onwards.
    line('M152 104 L168 97'),
    line('M188 100 L172 97'),
    line('M146 136 Q124 128 86 130'),
    line('M182 138 Q192 154 196 166'),
    line('M166 152 Q132 146 86 148'),
    line('M166 152 Q172 160 174 172'),
    line('M68 74 Q46 84 52 112'),
    line('M68 74 L84 78'),
  ],
  [
    label(104, 94, 'Ao'),
    label(140, 62, 'RVOT'),
    label(168, 126, 'PA'),
    label(104, 143, 'RPA'),
    label(74, 104, 'RA'),
  ],
  0.95,
  4,
  18,
);
