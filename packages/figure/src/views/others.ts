import { circle, dashed, drawing, fluid, label, line, wall } from './drawing';

/** Left cranial window: aorta through the middle, right outflow above it, right atrium and auricle below. */
export const leftCranialBase = drawing(
  [
    line('M62 104 Q100 96 118 92 Q128 84 136 90 L200 80'),
    line('M66 128 Q100 122 120 120 Q130 126 138 118 L204 112'),
    line('M120 94 L132 104'),
    line('M122 119 L133 106'),
    line('M70 92 Q96 56 136 46 Q166 42 188 58'),
    line('M118 92 Q140 72 168 70 L192 74'),
    line('M150 50 L158 60'),
    line('M164 71 L159 61'),
    // Right atrium, its auricle reaching forward, tricuspid valve.
    line('M92 128 Q88 158 122 170 Q160 170 176 152 Q194 148 198 130 Q186 120 172 126 L140 122'),
    line('M92 128 L106 136'),
  ],
  [label(172, 101, 'Ao'), label(128, 68, 'RVOT'), label(130, 150, 'RA'), label(182, 140, 'RAu')],
  0.92,
  2,
  20,
);

/** Fluid inside the bright line of the pericardium lies round the heart; fluid outside it is round the lungs. */
export const effusionSweep = drawing(
  [
    fluid(`${circle(120, 104, 52)} ${circle(120, 106, 36)}`),
    wall(circle(120, 104, 52)),
    wall(circle(120, 106, 36)),
    line('M94 90 Q116 98 146 90'),
    line(circle(121, 119, 16)),
    fluid(
      'M8 134 Q44 146 68 158 Q100 176 140 174 Q176 164 234 136 Q220 152 200 160 Q120 196 42 160 Q20 150 8 134 Z',
    ),
    line('M8 134 Q44 146 68 158 Q100 176 140 174 Q176 164 234 136'),
  ],
  [label(121, 120, 'LV'), label(120, 83, 'RV'), label(120, 61, 'fluid'), label(197, 132, 'pleura')],
  1,
  0,
  0,
);

/** Two ribs with their shadows, the pleural line between them, B-lines running down from it. */
export const lungPoints = drawing(
  [
    line('M72 66 Q82 52 96 62'),
    line('M146 62 Q160 52 170 66'),
    dashed('M74 70 L52 160'),
    dashed('M94 68 L88 176'),
    dashed('M148 68 L154 176'),
    dashed('M168 70 L190 160'),
    line('M90 80 Q121 84 150 80'),
    line('M108 82 L102 178'),
    line('M122 83 L122 182'),
    line('M136 82 L142 178'),
  ],
  [label(84, 48, 'rib'), label(158, 48, 'rib'), label(121, 73, 'pleura'), label(210, 140, 'B-lines')],
  1,
  0,
  0,
);

/** A view without a drawing of its own. */
export const plainSector = drawing([], [label(120, 104, 'another view')]);
