import {
  makePhantomClip,
  type PhantomHeart,
  type PhantomView,
  phantomDicom,
  seededRandom,
} from '@chordae/phantom';
import sharp from 'sharp';

export interface DemoClip {
  readonly view: PhantomView;
  readonly species: 'dog' | 'cat';
  readonly heart: PhantomHeart;
  readonly weightKg: number;
  readonly patientName: string;
  readonly practiceName: string;
  readonly day: string;
  readonly seed: number;
  /** Three beats where nothing is said. */
  readonly frameCount?: number;
}

/** Draws one invented beating heart and writes it as a machine would: JPEG frames in a DICOM file, names burnt in. */
export async function demoClip(wish: DemoClip): Promise<Uint8Array> {
  const random = seededRandom(wish.seed);
  const heartRate = wish.species === 'cat' ? 190 : 105;
  const frameTimeMs = 33;
  // Three beats, as a reader wants them.
  const threeBeats = Math.min(60, Math.ceil((3 * 60_000) / heartRate / frameTimeMs));
  const clip = makePhantomClip(
    {
      view: wish.view,
      species: wish.species,
      weightKg: wish.weightKg,
      heart: wish.heart,
      heartRate,
      frameCount: wish.frameCount ?? threeBeats,
      frameTimeMs,
      words: {
        patientLine: `DEMO ${wish.patientName.toUpperCase()}`,
        secondLine: `${wish.practiceName.toUpperCase()} ${wish.day}`,
        viewLine: '',
      },
    },
    random,
  );
  const { widthPx, heightPx } = clip.fan;
  const frames = await Promise.all(
    clip.frames.map((luma) =>
      sharp(luma, { raw: { width: widthPx, height: heightPx, channels: 1 } })
        .jpeg({ quality: 88 })
        .toBuffer(),
    ),
  );
  return phantomDicom(
    clip,
    {
      name: `DEMO^${wish.patientName.toUpperCase()}`,
      // One number an animal, whatever clip it is on.
      number: `D${numberOf(wish.patientName)}`,
      breed: '',
      sex: 'O',
      neutered: null,
      birthDate: '',
      scanDate: wish.day.replaceAll('-', ''),
      scanTime: '101500',
      keeper: '',
    },
    { coding: 'jpeg', frames },
    random,
  );
}

/** A number made of a name, the same for every clip of one animal. */
function numberOf(name: string): number {
  let sum = 7;
  for (let n = 0; n < name.length; n += 1) sum = (sum * 31 + name.charCodeAt(n)) % 9973;
  return sum;
}
