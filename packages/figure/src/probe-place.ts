import type { ViewId } from '@chordae/contract';
import type { DrawnLabel, DrawnPath } from './views/drawing';

/** Kinds of body that are drawn; ferret and rabbit are drawn as a cat. */
export type BodyKind = 'dog' | 'cat' | 'horse';

/** Where the probe goes on the animal, seen from the side that is scanned: the animal's outline, heart, probe and the way the marker points. */
export interface ProbePlace {
  readonly width: number;
  readonly height: number;
  readonly strokeWidth: number;
  readonly side: 'right' | 'left';
  readonly paths: readonly DrawnPath[];
  readonly labels: readonly DrawnLabel[];
  /** Middle of the footprint in the drawing's units. */
  readonly probe: { readonly x: number; readonly y: number };
  /** Direction of the marker dot from the middle, degrees from the right, turning down. */
  readonly markerDeg: number;
}

interface Window {
  readonly side: 'right' | 'left';
  /** On an animal whose head is on the right of the drawing. */
  readonly x: number;
  readonly y: number;
  /** Marker on such an animal: −35 is up to the neck, 55 is down to the elbow, 180 is to the tail. */
  readonly markerDeg: number;
}

const NECK = -35;
const ELBOW = 55;
const TAIL = 180;

const parasternal = (markerDeg: number, forward = 0): Window => ({
  side: 'right',
  x: 148 + forward,
  y: 108,
  markerDeg,
});

/** Windows and marker directions of VIEWS.md (after Thomas et al. 1993; the details common practice, from memory). */
const windows: Partial<Record<ViewId, Window>> = {
  'rps-long-4ch': parasternal(NECK),
  'rps-long-outflow': parasternal(NECK - 12),
  'rps-short-papillary': parasternal(ELBOW),
  'rps-short-chordae': parasternal(ELBOW, 2),
  'rps-short-mitral': parasternal(ELBOW, 4),
  'rps-short-aortic': parasternal(ELBOW, 7),
  'rps-short-pulmonary': parasternal(ELBOW, 10),
  'lap-4ch': { side: 'left', x: 136, y: 114, markerDeg: TAIL },
  'lap-5ch': { side: 'left', x: 136, y: 114, markerDeg: TAIL + 12 },
  'lcr-base': { side: 'left', x: 168, y: 102, markerDeg: NECK },
  'subcostal-outflow': { side: 'right', x: 96, y: 121, markerDeg: NECK },
  'eq-r-4ch': parasternal(NECK),
  'eq-r-lvot': parasternal(NECK - 12),
  'eq-r-rv': parasternal(NECK, 6),
  'eq-r-short-papillary': parasternal(ELBOW),
  'eq-l-2ch': { side: 'left', x: 146, y: 106, markerDeg: NECK },
  'eq-l-lvot': { side: 'left', x: 150, y: 104, markerDeg: NECK - 12 },
};

const line = (d: string): DrawnPath => ({ d, role: 'line' });
const dashed = (d: string): DrawnPath => ({ d, role: 'dashed' });

/** Trunk, neck and forelegs from the side, head to the right. Legs of a horse are longer, a cat's neck is shorter. */
function body(kind: BodyKind): DrawnPath[] {
  const foot = kind === 'horse' ? 186 : kind === 'cat' ? 160 : 172;
  const neck =
    kind === 'horse'
      ? 'M166 56 C184 44 198 24 214 8 M236 26 C222 50 210 66 202 88'
      : kind === 'cat'
        ? 'M166 57 C182 52 196 46 208 38 M226 58 C216 66 208 74 201 88'
        : 'M166 57 C184 48 200 36 214 26 M236 48 C220 58 210 70 202 88';
  return [
    line('M6 64 C50 52 120 50 166 56'),
    line(neck),
    line('M202 88 C200 108 184 121 156 125 C112 130 54 124 6 108'),
    line(`M170 112 C176 126 172 144 174 ${foot} M190 106 C194 124 188 144 188 ${foot}`),
    line('M186 62 C174 78 168 94 170 112'),
    ...[160, 148, 136, 124, 112, 100].map((x) => dashed(`M${x} 58 C${x - 10} 78 ${x - 8} 100 ${x + 2} 120`)),
    // The heart behind the elbow, its apex back and down.
    line('M171 80 C182 90 174 110 154 117 C142 118 135 107 143 95 C150 84 162 76 171 80 Z'),
  ];
}

/** Drawing in the mirror: seen from the left the head is on the left. */
function mirrored(d: string, width: number): string {
  return d.replace(
    /([ML C]|)(-?\d+(?:\.\d+)?) (-?\d+(?:\.\d+)?)/g,
    (_all, before: string, x: string, y: string) => {
      return `${before}${Math.round((width - Number(x)) * 10) / 10} ${y}`;
    },
  );
}

/**
 * Where the probe goes for a view on this kind of animal; null for views of all windows (the sweep for fluid, lung points) and
 * for what is no standard view. `probePlace('lap-4ch', 'dog').side` is 'left'.
 */
export function probePlace(view: ViewId, kind: BodyKind): ProbePlace | null {
  const window = windows[view];
  if (!window) return null;
  const width = 240;
  const left = window.side === 'left';
  const paths = body(kind).map((path) => (left ? { ...path, d: mirrored(path.d, width) } : path));
  return {
    width,
    height: 190,
    strokeWidth: 2,
    side: window.side,
    paths,
    labels: [{ x: left ? 200 : 40, y: 160, text: left ? 'left side' : 'right side' }],
    probe: { x: left ? width - window.x : window.x, y: window.y },
    markerDeg: left ? 180 - window.markerDeg : window.markerDeg,
  };
}
