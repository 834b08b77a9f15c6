import { circle, drawing, label, line, wall } from './drawing';

/**
 * The horse's own windows, where they show something else than those of dog and cat: after Long, Bonagura and Darke 1992
 * (from memory); apex left and base right, the side of the probe on top.
 */

/** Left side, along the heart: left ventricle and left atrium alone, the mitral valve between them across the picture. */
export const horseLeftTwoChamber = drawing(
  [
    // Free wall next to the probe, then the cavity; the septum lies away from the probe.
    wall('M136 62 Q92 52 62 74 Q40 96 42 124 Q56 158 96 164 L134 160'),
    line('M136 74 Q96 66 72 84 Q54 102 54 122 Q66 146 98 150 L134 147'),
    // Left atrium to the right, larger than it is deep.
    line('M136 62 Q178 48 200 78 Q214 108 200 138 Q182 164 134 160'),
    // Both leaflets with their cords.
    line('M136 74 Q124 90 108 98'),
    line('M134 147 Q124 128 110 118'),
    line('M108 98 L88 92'),
    line('M110 118 L90 130'),
  ],
  [label(80, 112, 'LV'), label(170, 114, 'LA')],
  0.94,
  -2,
  16,
);

/** Left side, tilted forward: the outlet between ventricle and aorta, the atrium on the near side, right ventricle beyond. */
export const horseLeftOutflow = drawing(
  [
    wall('M128 60 Q92 54 66 74 Q46 94 48 116 Q58 138 92 142 L132 134'),
    line('M128 71 Q96 68 76 84 Q60 100 60 114 Q70 128 94 130 L132 123'),
    // Left atrium, small and near the probe, its mitral leaflet towards the outlet.
    line('M128 60 Q156 44 184 58 Q192 70 182 84'),
    line('M128 71 L112 82'),
    line('M140 92 L118 84'),
    // Aorta with its root, valve leaflets, first part of the vessel.
    line('M140 92 Q152 84 162 92 L212 86'),
    line('M132 123 Q148 134 160 126 L212 122'),
    line('M142 94 Q152 102 160 106'),
    line('M136 124 Q148 116 160 108'),
    // Right ventricle beyond the septum.
    line('M62 134 Q84 166 132 168 Q166 164 184 148'),
  ],
  [label(92, 104, 'LV'), label(160, 72, 'LA'), label(190, 108, 'Ao'), label(122, 152, 'RV')],
  0.94,
  -2,
  18,
);

/** Right side, tilted forward: inflow and outflow of the right heart round the aorta, pulmonary artery on the right. */
export const horseRightInflowOutflow = drawing(
  [
    line(circle(118, 106, 24)),
    // Right ventricle over the aorta, from the tricuspid to the pulmonary valve.
    wall('M60 92 Q72 44 122 40 Q176 44 192 96'),
    line('M72 96 Q82 56 122 52 Q164 56 178 98'),
    // Tricuspid valve on the left, the right atrium below it.
    line('M60 92 L78 106'),
    line('M96 96 L84 108'),
    line('M60 92 Q40 122 58 148 Q82 164 102 144 Q106 134 102 124'),
    // Pulmonary valve, then the artery away from the probe.
    line('M178 98 L166 108'),
    line('M142 102 L154 110'),
    line('M192 96 Q198 132 182 170'),
    line('M142 102 Q156 130 148 166'),
  ],
  [label(118, 110, 'Ao'), label(124, 70, 'RV'), label(74, 136, 'RA'), label(168, 140, 'PA')],
  0.94,
  2,
  16,
);
