import { describe, expect, it } from 'vitest';
import { readProbe } from './probe-json';

function probe(times: readonly (string | undefined)[], stream: object = {}): string {
  return JSON.stringify({
    streams: [{ codec_name: 'h264', width: 320, height: 240, ...stream }],
    frames: times.map((time) => ({ width: 320, height: 240, best_effort_timestamp_time: time })),
  });
}

describe('what a film says of itself', () => {
  it('keeps a variable frame rate as it is, from the first frame on', () => {
    expect(readProbe(probe(['0.500000', '0.533333', '0.600000']))).toMatchObject({
      ok: true,
      value: { frameTimesMs: [0, 33.333, 100], frameCount: 3 },
    });
  });

  it('gives no times when they are missing or run backwards', () => {
    expect(readProbe(probe(['0.0', undefined]))).toMatchObject({ value: { frameTimesMs: null } });
    expect(readProbe(probe(['0.2', '0.1']))).toMatchObject({ value: { frameTimesMs: null } });
  });

  it('reckons a missing time from the length of the frame before, as MPEG streams leave the last one out', () => {
    const text = JSON.parse(probe(['0.54', '0.58', undefined])) as { frames: Record<string, unknown>[] };
    for (const frame of text.frames) frame['pkt_duration_time'] = '0.040000';
    expect(readProbe(JSON.stringify(text))).toMatchObject({ value: { frameTimesMs: [0, 40, 80] } });
  });

  it('stands a turned film upright, whichever way it says so', () => {
    const by = { widthPx: 240, heightPx: 320, turnedDegrees: 90 };
    expect(readProbe(probe(['0'], { side_data_list: [{ rotation: -90 }] }))).toMatchObject({ value: by });
    expect(readProbe(probe(['0'], { tags: { rotate: '90' } }))).toMatchObject({ value: by });
  });

  it('reads pixels that are not square, and half frames', () => {
    expect(readProbe(probe(['0'], { sample_aspect_ratio: '16:11' }))).toMatchObject({
      value: { pixelAspect: 16 / 11 },
    });
    const woven = probe(['0']).replace(
      '"width":320,"height":240,"best',
      '"interlaced_frame":1,"width":320,"height":240,"best',
    );
    expect(readProbe(woven)).toMatchObject({ value: { interlaced: true } });
  });

  it.each([
    ['no JSON', 'FILM_DAMAGED'],
    ['{}', 'FILM_DAMAGED'],
    ['{"frames":[],"programs":[],"streams":[]}', 'FILM_WITHOUT_PICTURE'],
    ['{"frames":[],"streams":[{"width":0,"height":0}]}', 'FILM_DAMAGED'],
    [probe([]), 'FILM_DAMAGED'],
    [probe(Array.from({ length: 20_001 }, () => '0')), 'FRAMES_TOO_MANY'],
    [probe(['0']).replaceAll('320', '9000'), 'PICTURE_TOO_LARGE'],
    [probe(['0', '1']).replace(/"width":320(?!.*"width":320)/, '"width":322'), 'FRAME_SIZE_DIFFERS'],
  ])('refuses %.40s with %s', (json, code) => {
    expect(readProbe(json)).toMatchObject({ ok: false, problem: { code } });
  });
});
