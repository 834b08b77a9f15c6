import { exactCos, exactSin } from '@chordae/units';
import type { Anatomy } from './anatomy';
import { fromPiece, fromRod } from './distances';
import type { Echo } from './echo';
import { muscle, putSheet } from './echo';
import type { Moment } from './heart-beat';
import type { Vector } from './vectors';
import { vector } from './vectors';

/** Adds a structure's echo at a place of the still heart. */
export type AddEcho = (r: number, d: number, w: number, echo: Echo) => void;

/** Mitral leaflets: two sheets hung on the ring, meeting at the sides; seen across they make a fish mouth. */
export function mitralValve(anatomy: Anatomy, moment: Moment): AddEcho {
  const { baseRadius: b, base, unit: u, radius } = anatomy;
  const open = moment.mitral;
  const meet = 0.16 * b;
  const wide = 0.86 * b;
  const middle = -0.06 * u;
  // A leaking valve: thick leaflets whose bellies hang back into the atrium when it is shut.
  const prolapse = anatomy.size.prolapse * (1 - open) * 0.4 * u;
  const thick = 0.026 * u * (1 + 0.9 * anatomy.size.prolapse);
  const septalTip = meet - (0.7 * b - 0.02 * u) * open;
  const freeTip = meet + 0.08 * u + 0.5 * b * open;
  const { aorta } = anatomy;
  return (r, d, w, echo) => {
    if (w > base + 0.12 * u + prolapse || w < base - 1.35 * radius) return;
    const side = (r - middle) / wide;
    const full = 1 - side * side;
    if (full <= 0.02) return;
    const half = Math.sqrt(full);
    // The septal leaflet hangs on the back of the aorta where that is in the way.
    const ra = aorta.radius * 1.08;
    const off = r - aorta.at.r;
    const back = off * off < ra * ra ? aorta.at.d + Math.sqrt(ra * ra - off * off) : -9;
    const hingeS = Math.max(meet - 0.86 * b * half, back);
    const hingeF = meet + 0.8 * b * half;
    const lengthS = (0.42 + 0.62 * open) * radius * half;
    const lengthF = (0.36 + 0.3 * open) * radius * half;
    const tipS = meet + (septalTip - meet) * full;
    const tipF = meet + (freeTip - meet) * full;
    const belly = 0.5 * (hingeS + tipS) - 0.16 * u * half * (1 - 0.4 * open);
    const bellyW = base - 0.4 * lengthS + prolapse * full;
    const tipW = base - lengthS + 0.6 * prolapse;
    const septal = Math.min(
      fromPiece(d, w, hingeS, base, belly, bellyW),
      fromPiece(d, w, belly, bellyW, tipS, tipW),
    );
    const free = fromPiece(d, w, hingeF, base, tipF, base - lengthF + 0.5 * prolapse);
    putSheet(echo, Math.min(septal, free), thick, muscle * 1.15, 0.62);
  };
}

/** Tendons from the heads of the papillary muscles to the leaflets' tips. */
export function mitralTendons(anatomy: Anatomy, moment: Moment, heads: readonly Vector[]): AddEcho {
  const { base, baseRadius: b, radius, unit: u } = anatomy;
  const open = moment.mitral;
  const tipW = base - (0.4 + 0.5 * open) * radius;
  const septalD = 0.16 * b - 0.5 * b * open;
  const freeD = 0.16 * b + 0.4 * b * open;
  const rods = heads.flatMap((head) => {
    const side = head.r < 0 ? -1 : 1;
    return [
      { a: head, b: vector(side * 0.3 * b, septalD, tipW) },
      { a: head, b: vector(side * 0.4 * b, freeD, tipW + 0.1 * u) },
    ];
  });
  const lowest = Math.min(...heads.map((head) => head.w)) - 0.1 * u;
  return (r, d, w, echo) => {
    if (w > tipW + 0.2 * u || w < lowest) return;
    let least = 1e9;
    for (const rod of rods) least = Math.min(least, fromRod(r, d, w, rod.a, rod.b));
    if (least < 0.12 * u) putSheet(echo, least, 0.014 * u, 0.09, 0.16);
  };
}

/** Three cusps: closed a Y with a little height, open three flat sheets near the wall. Local: `a` along the root, `p`, `q` across. */
export function aorticCusps(
  radius: number,
  opening: number,
): (a: number, p: number, q: number, echo: Echo) => void {
  const thick = 0.038 * radius;
  // Seams run down, up left and up right on a short axis (p right, q down), turned a little, so that a long axis crosses cusps.
  const turn = 0.28;
  const [seamP, seamQ] = [exactSin(turn), exactCos(turn)];
  const third = Math.sqrt(3) / 2;
  const seams = [
    { p: seamP, q: seamQ },
    { p: -0.5 * seamP - third * seamQ, q: third * seamP - 0.5 * seamQ },
    { p: -0.5 * seamP + third * seamQ, q: -third * seamP - 0.5 * seamQ },
  ];
  return (a, p, q, echo) => {
    const x = a / radius;
    if (x < -0.1 || x > 1) return;
    const rho = Math.sqrt(p * p + q * q) / radius + 1e-6;
    if (rho > 1.15) return;
    const cos = (p * seamP + q * seamQ) / (rho * radius);
    const three = 4 * cos * cos * cos - 3 * cos;
    if (opening < 0.5) {
      const fade = 1 - 2 * opening;
      if (x > 0.16 && x < 0.8) {
        let seam = 1e9;
        for (const s of seams) {
          const along = p * s.p + q * s.q;
          if (along > -0.02 * radius) seam = Math.min(seam, Math.abs(p * s.q - q * s.p));
        }
        putSheet(echo, seam, thick * fade, 0.3 * fade, 0.6 * fade);
      }
      const belly = 0.34 * (1 - rho * 0.5 * (1 - three));
      putSheet(echo, Math.abs(x - belly) * radius, thick * 0.8 * fade, 0.2 * fade, 0.5 * fade);
      return;
    }
    const fade = 2 * opening - 1;
    if (x > 0.02 && x < 0.85) {
      const edge = 0.8 + 0.14 * three - 0.1 * (1 - x);
      putSheet(echo, Math.abs(rho - edge) * radius, thick * 0.7, 0.2 * fade, 0.4 * fade);
    }
  };
}
