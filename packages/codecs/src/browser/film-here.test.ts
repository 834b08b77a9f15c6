import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { memorySource, readIsoFilm } from '@chordae/dicom';
import { afterAll, describe, expect, it } from 'vitest';
import { readFilm } from '../node/film/read-film';
import type { FilmMaking } from '../node/film/sample-film';
import { canMakeFilms, makeFilm } from '../node/film/sample-film';
import { systemFfmpeg } from '../node/film/system-ffmpeg';
import { wasmFfmpeg } from '../node/film/wasm-ffmpeg';
import type { FilmPlatform } from './film-here';
import { openFilmHere } from './film-here';
import type { LumaFrame } from './open-in-browser';

const folder = mkdtempSync(join(tmpdir(), 'chordae-film-here-'));
afterAll(() => rmSync(folder, { recursive: true }));
const h264 = ['-c:v', 'libx264', '-qp', '10', '-pix_fmt', 'yuv420p'];

async function film(name: string, making: Partial<FilmMaking> = {}): Promise<string> {
  return makeFilm(folder, name, { args: h264, ending: 'mp4', ...making });
}

/** As a browser's: pictures come out in the order in which they are shown, some held back; each says its number. */
function platform(log: string[] = [], heldBack = 2): FilmPlatform {
  return {
    filmDecoder: (config, given) => {
      log.push(config.codec);
      let waiting: number[] = [];
      const out = (left: number): void => {
        waiting.sort((a, b) => a - b);
        for (; waiting.length > left; ) {
          const number = waiting.shift() ?? 0;
          const luma = new Uint8Array(config.widthPx * config.heightPx).fill(number);
          luma[0] = 200;
          const frame: LumaFrame = { widthPx: config.widthPx, heightPx: config.heightPx, luma };
          given({ number, frame });
        }
      };
      return Promise.resolve({
        decode: (_bytes, number, isKey) => {
          if (waiting.length === 0 && number === 0) log.push(isKey ? 'begins' : 'begins wrongly');
          waiting.push(number);
        },
        settle: () => Promise.resolve(out(heldBack)),
        flush: () => Promise.resolve(out(0)),
        close: () => {
          log.push('ends');
          waiting = [];
        },
      });
    },
  };
}

describe.skipIf(!canMakeFilms)('a film opened where it lies', () => {
  it.each([
    ['without reordered pictures', ['-bf', '0']],
    ['with reordered pictures', ['-bf', '3']],
    ['of changing rate', ['-vf', "setpts='if(lt(N,4),N,2*N-3)/25/TB'", '-fps_mode', 'vfr']],
  ])('has the times that ffmpeg reads, %s', async (name, more) => {
    const path = await film(name, { args: [...h264, ...more] });
    const read = await readIsoFilm(memorySource(new Uint8Array(readFileSync(path))));
    if (!read.ok) throw new Error(read.problem.code);
    const times = read.value.samples.map(({ timeMs }) => timeMs).sort((a, b) => a - b);
    const decoder = systemFfmpeg() ?? wasmFfmpeg();
    const server = decoder === null ? null : await readFilm(decoder, path, 'mov');
    if (!server?.ok) throw new Error('not read');
    const { head, held } = server.value;
    await held.close();
    expect(read.value).toMatchObject({ codec: 'avc1', widthPx: 64, heightPx: 48, turnedDegrees: 0 });
    expect(times).toHaveLength(head.frameCount);
    times.forEach((time, n) => expect(time).toBeCloseTo(head.frameTimesMs?.[n] ?? Number.NaN, 1));
  });

  it('hands out its frames by number, also back again, and is described as by the server', async () => {
    const path = await film('numbers', { args: [...h264, '-bf', '3'] });
    const log: string[] = [];
    const source = memorySource(new Uint8Array(readFileSync(path)));
    const opened = await openFilmHere(source, 'mp4', platform(log));
    if (!opened.ok) throw new Error(opened.problem.code);
    expect(opened.value.description).toMatchObject({
      format: 'mp4',
      frameCount: 8,
      timing: 'film',
      kind: 'clip',
    });
    for (const n of [0, 1, 5, 7, 2, 2]) {
      const luma = await opened.value.luma(n);
      expect(luma.ok && luma.value.luma[5]).toBe(n);
    }
    expect(await opened.value.luma(8)).toMatchObject({ problem: { code: 'FRAME_NOT_THERE' } });
    // Back to 2 begins anew; 2 once more does not.
    expect(log.filter((line) => line === 'begins')).toHaveLength(2);
    expect(log[0]).toMatch(/^avc1\.[0-9a-f]{6}$/);
  });

  it('lets its decoder go when it is closed, after what was asked has come, and starts no other', async () => {
    const path = await film('closed', { args: [...h264, '-bf', '3'] });
    const log: string[] = [];
    const opened = await openFilmHere(memorySource(new Uint8Array(readFileSync(path))), 'mp4', platform(log));
    if (!opened.ok) throw new Error(opened.problem.code);
    const asked = [6, 3].map((n) => opened.value.luma(n));
    await opened.value.close();
    const come = await Promise.all(asked);
    expect(come.map((luma) => luma.ok && luma.value.luma[5])).toEqual([6, 3]);
    const decoders = log.filter((line) => line.startsWith('avc1')).length;
    expect(log.filter((line) => line === 'ends')).toHaveLength(decoders);
    await expect(opened.value.luma(0)).rejects.toThrow('closed');
    expect(log.filter((line) => line.startsWith('avc1'))).toHaveLength(decoders);
  });

  it('stands upright', async () => {
    const path = await film('turned', { copying: ['-metadata:s:v:0', 'rotate=90'] });
    const source = memorySource(new Uint8Array(readFileSync(path)));
    const opened = await openFilmHere(source, 'mp4', platform());
    if (!opened.ok) throw new Error(opened.problem.code);
    const { description } = opened.value;
    // As ffprobe tells of the same film in made-films.test.ts.
    expect(description).toMatchObject({ widthPx: 48, heightPx: 64 });
    expect(description.problems).toContainEqual({ code: 'FILM_TURNED', data: { degrees: 270 } });
    const luma = await opened.value.luma(1);
    // Turned to the left, the upper left corner comes to the lower left.
    expect(luma.ok && [luma.value.widthPx, luma.value.luma[48 * 63]]).toEqual([48, 200]);
  });

  it('is left to the server where the browser cannot, and refused when it is cut', async () => {
    const bytes = new Uint8Array(readFileSync(await film('left')));
    const none: FilmPlatform = { filmDecoder: () => Promise.resolve(null) };
    const left = { ok: false, problem: { code: 'READ_AFTER_UPLOAD' } };
    expect(await openFilmHere(memorySource(bytes), 'mp4', none)).toMatchObject(left);
    const other = new Uint8Array(readFileSync(await film('other', { args: ['-c:v', 'mpeg4', '-q:v', '2'] })));
    expect(await openFilmHere(memorySource(other), 'mp4', platform())).toMatchObject(left);
    for (let length = 40; length < bytes.length; length += 97) {
      const cut = await openFilmHere(memorySource(bytes.subarray(0, length)), 'mp4', platform());
      expect(cut.ok).toBe(false);
    }
  });
});
