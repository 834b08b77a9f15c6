import { describe, expect, it } from 'vitest';
import { readHeader } from './film-header';

function probe(stream: object = {}): string {
  return JSON.stringify({
    streams: [{ codec_name: 'h264', width: 320, height: 240, ...stream }],
  });
}

describe('what a film says of itself', () => {
  it('gives its size, as coded, and its number of frames where it is said', () => {
    expect(readHeader(probe({ nb_frames: '41' }))).toMatchObject({
      value: { codedWidthPx: 320, codedHeightPx: 240, codec: 'h264', frameCount: 41, interlaced: false },
    });
    expect(readHeader(probe({ nb_frames: 'N/A' }))).toMatchObject({ value: { frameCount: null } });
  });

  it('reads how a film is turned, whichever way it says so', () => {
    const by = { turnedDegrees: 90 };
    expect(readHeader(probe({ side_data_list: [{ rotation: -90 }] }))).toMatchObject({ value: by });
    expect(readHeader(probe({ tags: { rotate: '90' } }))).toMatchObject({ value: by });
  });

  it('reads pixels that are not square, and half frames', () => {
    expect(readHeader(probe({ sample_aspect_ratio: '16:11' }))).toMatchObject({
      value: { pixelAspect: 16 / 11 },
    });
    expect(readHeader(probe({ field_order: 'bt' }))).toMatchObject({ value: { interlaced: true } });
    expect(readHeader(probe({ field_order: 'progressive' }))).toMatchObject({ value: { interlaced: false } });
  });

  it('turns colours itself only where it knows how they are written', () => {
    expect(readHeader(probe({ pix_fmt: 'yuv420p', color_space: 'bt709' }))).toMatchObject({
      value: { yuv: { pixelFormat: 'yuv420p', matrix: 709, fullRange: false } },
    });
    for (const other of [{ pix_fmt: 'yuv444p' }, { pix_fmt: 'yuv420p', color_space: 'bt2020nc' }])
      expect(readHeader(probe(other))).toMatchObject({ value: { yuv: null } });
  });

  it.each([
    ['no JSON', 'FILM_DAMAGED'],
    ['{}', 'FILM_DAMAGED'],
    ['{"programs":[],"streams":[]}', 'FILM_WITHOUT_PICTURE'],
    ['{"streams":[{"width":0,"height":0}]}', 'FILM_DAMAGED'],
    [probe({ nb_frames: '20001' }), 'FRAMES_TOO_MANY'],
    [probe({ width: 9000 }), 'PICTURE_TOO_LARGE'],
  ])('refuses %.60s with %s', (json, code) => {
    expect(readHeader(json)).toMatchObject({ ok: false, problem: { code } });
  });
});
