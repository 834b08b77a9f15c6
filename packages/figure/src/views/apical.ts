import { dashed, drawing, label, line, wall } from './drawing';

/** Left apical: apex towards the probe; left heart on the right of the picture. */
export const apicalFour = drawing(
  [
    wall('M78 112 Q78 88 90 66 Q104 42 126 40 Q146 28 162 48 Q178 74 180 112'),
    line('M136 114 L133 56 Q144 46 154 58 Q168 80 171 112'),
    line('M117 112 L115 60 Q104 58 96 74 Q87 92 86 112'),
    // Valves open towards the ventricles.
    line('M136 114 L146 100'),
    line('M171 112 L160 100'),
    line('M117 112 L108 100'),
    line('M86 112 L94 100'),
    // Atria.
    line('M180 112 Q196 150 172 166 Q146 174 128 160'),
    line('M126 112 L128 160'),
    line('M78 112 Q62 148 82 162 Q106 170 128 160'),
    line('M117 112 L136 112'),
  ],
  [label(152, 84, 'LV'), label(102, 90, 'RV'), label(156, 144, 'LA'), label(98, 142, 'RA')],
  0.92,
  4,
  22,
);

/** The same window tilted forward: outlet and aortic valve in line with the beam. */
export const apicalFive = drawing(
  [
    wall('M112 104 L122 40 Q142 26 162 48 Q180 76 184 110'),
    line('M120 106 L131 52 Q144 42 156 56 Q170 80 175 110'),
    wall('M122 40 Q100 42 86 66 Q76 86 76 106'),
    line('M104 104 L112 58 Q102 58 94 74 Q84 92 84 106'),
    // Aorta leaves between the atria.
    line('M112 104 Q104 114 110 124 L108 164'),
    line('M142 112 Q150 120 142 128 L140 166'),
    line('M114 106 L126 116'),
    line('M141 112 L128 117'),
    // Mitral valve and left atrium on the right, right atrium on the left.
    line('M142 112 L150 98'),
    line('M175 110 L164 100'),
    line('M184 110 Q198 144 178 160 Q160 164 146 152'),
    line('M76 106 Q62 136 80 154 Q92 158 104 150'),
    line('M84 106 L92 96'),
    dashed('M126 12 L126 164'),
  ],
  [
    label(154, 78, 'LV'),
    label(98, 86, 'RV'),
    label(118, 146, 'Ao'),
    label(168, 136, 'LA'),
    label(86, 132, 'RA'),
  ],
  0.92,
  4,
  22,
);

/** Under the ribs, through the liver and the diaphragm: outlet and ascending aorta along the beam. */
export const subcostal = drawing(
  [
    line('M68 76 Q120 50 172 76'),
    dashed('M126 36 l8 2'),
    dashed('M112 26 l8 2'),
    dashed('M138 50 l8 2'),
    dashed('M112 52 l8 2'),
    wall('M112 128 Q86 122 80 100 Q90 80 120 78 Q152 80 160 102 Q156 122 138 128'),
    line('M114 120 Q94 114 90 102 Q98 89 120 87 Q142 89 150 102 Q146 116 134 120'),
    // Outlet, valve and ascending aorta, away from the probe.
    line('M112 120 Q104 132 112 142 L110 172'),
    line('M136 120 Q144 132 136 142 L138 172'),
    line('M112 128 L123 140'),
    line('M136 128 L125 140'),
    dashed('M124 12 L124 172'),
  ],
  [label(108, 106, 'LV'), label(92, 56, 'liver'), label(116, 158, 'Ao')],
  0.92,
  4,
  22,
);
