import { circle, drawing, label, line, wall } from './drawing';

/** Right parasternal long axis: right heart above, level septum, left heart below; apex left, base right. */
export const longFourChamber = drawing(
  [
    // Left ventricle: longest and largest, apex on the left.
    wall('M142 92 L74 90 Q50 96 46 118 Q52 146 84 154 L138 150'),
    line('M142 100 L80 99 Q62 103 58 118 Q62 136 88 143 L138 140'),
    // Right ventricle above it, a third of its size.
    wall('M142 46 Q100 46 76 66 Q62 78 58 92'),
    line('M142 54 Q104 54 84 70 Q74 80 72 90'),
    // Atria on the right.
    line('M142 46 Q178 34 192 58 Q198 78 186 92'),
    line('M138 150 Q166 174 190 152 Q206 128 186 92'),
    line('M142 96 L186 92'),
    // Valves: leaflets to their tips.
    line('M142 54 L126 68'),
    line('M142 92 L128 80'),
    line('M142 100 L118 114'),
    line('M138 140 L118 126'),
  ],
  [label(84, 122, 'LV'), label(104, 76, 'RV'), label(164, 126, 'LA'), label(166, 72, 'RA')],
  0.92,
  -2,
  22,
);

/** The same window turned a little: septum running into the aortic wall, aorta leaving to the right. */
export const longOutflow = drawing(
  [
    wall('M138 82 L74 84 Q50 92 46 114 Q52 144 86 154 L126 150'),
    line('M138 90 L80 93 Q62 99 58 114 Q64 134 90 143 L124 140'),
    wall('M152 40 Q104 42 78 62 Q64 72 60 86'),
    line('M152 48 Q108 50 86 66 Q76 76 74 85'),
    line('M152 48 Q174 42 184 54'),
    // Aorta: root with its sinuses, valve leaflets, then the first part of the vessel.
    line('M138 82 Q150 72 160 78 L204 70'),
    line('M136 114 Q150 122 160 112 L208 104'),
    line('M140 84 Q150 92 158 95'),
    line('M138 113 Q150 106 158 98'),
    // Left atrium below the aorta, anterior leaflet continuous with its wall.
    line('M136 114 L112 128'),
    line('M124 140 L110 132'),
    line('M124 150 Q152 172 182 154 Q198 140 190 118 Q170 112 148 119'),
    line(circle(199, 122, 8)),
  ],
  [label(86, 120, 'LV'), label(108, 68, 'RV'), label(182, 92, 'Ao'), label(156, 146, 'LA')],
  0.92,
  -2,
  22,
);
