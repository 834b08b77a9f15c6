import type { ClipStatement, Geometry, MeasurementEntry, Region } from '@chordae/contract';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type SentCase, sentCase } from '../support/sent-case';
import { startTestApp, type TestApp, uuidv7 } from '../support/test-app';
import { caseOf, makeWorld, type Session, signIn, type World } from '../support/world';

let t: TestApp;
let world: World;
let reader: Session;
let d: SentCase;

const twoD: Region = {
  x0: 0,
  y0: 0,
  x1: 799,
  y1: 399,
  kind: '2d',
  unitX: 'cm',
  unitY: 'cm',
  deltaX: 0.02,
  deltaY: 0.025,
  referenceX: null,
  referenceY: null,
  referenceValueX: null,
  referenceValueY: null,
  highPriority: true,
  protectedScale: true,
  usable: true,
  whyNot: null,
};
const spectral: Region = {
  ...twoD,
  y0: 400,
  y1: 599,
  kind: 'spectral',
  unitX: 's',
  unitY: 'cm/s',
  deltaX: 0.004,
  deltaY: -2,
  referenceY: 20,
};

const describeClip = async (regions: Region[]) => {
  await t.admin`update clips set description = description
    || ${JSON.stringify({ regions, widthPx: 800, heightPx: 600, frameCount: 20 })}::text::jsonb where id = ${d.clipId}`;
};

beforeAll(async () => {
  t = await startTestApp();
  world = await makeWorld(t.admin);
  const vet = await signIn(t.app, world.people.vetA.email);
  reader = await signIn(t.app, world.people.cardiologist.email);
  d = await sentCase(t, vet, world, world.practiceA);
  await describeClip([twoD, spectral]);
  await reader.post(`/api/cases/${d.practiceId}/${d.referralId}/take`, {
    base: (await caseOf(reader, d)).referral.revision,
  });
});
afterAll(async () => t.close());

const length = (change: Partial<Geometry> = {}): Geometry => ({
  shape: 'length',
  points: [
    { x: 100, y: 100 },
    { x: 130, y: 132 },
  ],
  clipId: d.clipId,
  frame: 7,
  scale: { x: 0.02, unitX: 'cm', y: 0.025, unitY: 'cm', baselineY: null },
  axis: null,
  calibration: 'region of the file (2d)',
  second: null,
  ...change,
});
const entry = (geometry: Geometry, change: Partial<MeasurementEntry> = {}): MeasurementEntry => ({
  code: 'lvidd',
  // √(6² + 8²) mm: 30 pixels across of 0.2 mm and 32 down of 0.25 mm.
  value: 10,
  unit: 'mm',
  asTyped: '',
  view: 'rps-short-papillary',
  method: '2d',
  beat: null,
  clipId: geometry.clipId,
  frame: geometry.frame,
  source: 'caliper',
  geometry,
  supersedesId: null,
  withdrawn: false,
  ...change,
});
const put = (body: MeasurementEntry) =>
  reader.put(`/api/cases/${d.practiceId}/${d.referralId}/measurements/${uuidv7()}`, body);
const said = async (body: MeasurementEntry) => {
  const { status, body: reply } = await put(body);
  const { code, field, message } = reply as { code?: string; field?: string; message?: string };
  return { status, code, field, message };
};

describe('a value by caliper', () => {
  it('is taken when it is what its drawing gives, but for rounding', async () => {
    expect((await put(entry(length()))).status).toBe(200);
    expect((await put(entry(length(), { value: 10.04 }))).status).toBe(200);
  });

  it('is refused when the drawing gives another number, and the answer says which', async () => {
    expect(await said(entry(length(), { value: 10.4 }))).toMatchObject({
      status: 400,
      code: 'FIELD_INVALID',
      field: 'geometry',
      message: expect.stringContaining('it gives 10 mm, not 10.4 mm') as string,
    });
  });

  it('is refused with a scale that is not the clip’s, on another frame, or beyond the last one', async () => {
    const scale = { ...length().scale, x: 0.021 };
    expect(await said(entry(length({ scale })))).toMatchObject({ field: 'geometry' });
    expect(await said(entry(length(), { frame: 8 }))).toMatchObject({ field: 'geometry' });
    expect(await said(entry(length({ frame: 20 }), { frame: 20 }))).toMatchObject({
      field: 'geometry',
      message: expect.stringContaining('20 frames') as string,
    });
  });

  it('is refused where the points lie in different parts of the picture or in none that carries it', async () => {
    const across = [
      { x: 100, y: 300 },
      { x: 100, y: 500 },
    ];
    expect(await said(entry(length({ points: across })))).toMatchObject({
      message: expect.stringContaining('different parts') as string,
    });
    const flow = length({ points: across.map((p, n) => ({ x: p.x, y: 450 + 20 * n })) });
    expect(await said(entry(flow))).toMatchObject({ field: 'geometry' });
  });

  it('is read off a Doppler curve by its baseline, without sign', async () => {
    const point = length({
      shape: 'velocity',
      points: [{ x: 300, y: 580 }],
      scale: { x: 0.004, unitX: 's', y: 2, unitY: 'cm/s', baselineY: 420 },
    });
    const jet = entry(point, {
      code: 'tr-vmax',
      unit: 'm/s',
      value: 3.2,
      view: 'lap-4ch',
      method: 'doppler',
    });
    expect((await put(jet)).status).toBe(200);
    expect(await said({ ...jet, value: 3.4 })).toMatchObject({
      field: 'geometry',
      message: expect.stringContaining('3.2 m/s') as string,
    });
    expect(await said({ ...jet, code: 'lvidd', unit: 'mm', value: 32 })).toMatchObject({ field: 'geometry' });
  });
});

describe('a clip without a scale', () => {
  it('takes no caliper until a person says how long a pixel is, then by that word only', async () => {
    await describeClip([]);
    const scale = { x: 0.05, unitX: 'cm', y: 0.05, unitY: 'cm', baselineY: null } as const;
    const points = [
      { x: 100, y: 100 },
      { x: 100, y: 180 },
    ];
    const drawn = entry(length({ points, scale, calibration: "a person's two points" }), { value: 40 });
    expect(await said(drawn)).toMatchObject({
      field: 'geometry',
      message: expect.stringContaining('no scale') as string,
    });
    const statement: ClipStatement = {
      kind: 'calibration',
      cmPerPixel: 0.05,
      from: 'two-points',
      points: [
        { x: 0, y: 0 },
        { x: 0, y: 100 },
      ],
      distanceMm: 50,
    };
    const place = `/api/cases/${d.practiceId}/${d.referralId}/clips/${d.clipId}/statements/${uuidv7()}`;
    expect((await reader.put(place, statement)).status).toBe(200);
    expect((await put(drawn)).status).toBe(200);
    expect(await said({ ...drawn, value: 44 })).toMatchObject({ field: 'geometry' });
  });
});
