import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { lumaFromRgb } from '@chordae/codecs';
import { openOriginal } from '@chordae/codecs/node';
import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { canMakeFilms, makeFilm } from '../../packages/codecs/src/node/film/sample-film';
import { launchBrowser } from '../support/browser';

/** Films opened by the browser's own decoder before their upload, against what the server reads of them. */
let browser: Browser;
let server: Server;
let address = '';
const folder = mkdtempSync(path.join(tmpdir(), 'chordae-films-here-'));
beforeAll(async () => {
  browser = await launchBrowser();
  // The decoder is there only on pages that the browser calls secure: this machine's own are.
  server = createServer((_request, reply) =>
    reply.setHeader('content-type', 'text/html').end('<!doctype html>'),
  );
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
});
afterAll(async () => {
  await browser?.close();
  await new Promise((resolve) => server.close(resolve));
  rmSync(folder, { recursive: true, force: true });
});

/** Grey and coloured places that move, 320 by 240. */
const frames = Array.from({ length: 24 }, (_, n) =>
  Uint8Array.from({ length: 3 * 320 * 240 }, (_p, at) => {
    const [x, y, c] = [Math.floor(at / 3) % 320, Math.floor(at / 960), at % 3];
    const spot = Math.hypot(x - 60 - 8 * n, y - 120) < 30;
    return spot ? ([220, 60, 40][c] ?? 0) : 30 + ((x + y) >> 2);
  }),
);

describe.skipIf(!canMakeFilms)('a film looked at in the browser', () => {
  it.each([
    ['as it was filmed', []],
    ['turned', ['-metadata:s:v:0', 'rotate=90']],
  ])('is, %s, what the server reads', async (name, copying) => {
    const file = await makeFilm(folder, name, {
      frames,
      size: [320, 240],
      args: ['-c:v', 'libx264', '-crf', '18', '-pix_fmt', 'yuv420p', '-bf', '2', '-g', '12'],
      copying,
      ending: 'mp4',
    });
    const bundle = await build({
      stdin: {
        contents: "export { browserPlatform, filmDecoder, openInBrowser } from '@chordae/codecs/browser'",
        resolveDir: path.resolve(import.meta.dirname, '../../apps/portal'),
      },
      bundle: true,
      format: 'iife',
      globalName: 'codecs',
      write: false,
      target: 'es2022',
    });
    const page = await browser.newPage();
    await page.goto(address);
    await page.addScriptTag({ content: bundle.outputFiles[0]?.text ?? '' });
    const there = await page.evaluate(async (base64) => {
      const { codecs } = globalThis as unknown as { codecs: typeof import('@chordae/codecs/browser') };
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      const { browserPlatform, filmDecoder, openInBrowser } = codecs;
      const decoders: VideoDecoder[] = [];
      globalThis.VideoDecoder = class extends VideoDecoder {
        constructor(init: VideoDecoderInit) {
          super(init);
          decoders.push(this);
        }
      };
      const opened = await openInBrowser(new Blob([bytes]), { ...browserPlatform, filmDecoder });
      if (!opened.ok) return { code: opened.problem.code, description: null, lumas: [], states: [] };
      const lumas: string[] = [];
      for (let n = 0; n < opened.value.description.frameCount; n += 1) {
        const luma = await opened.value.luma(n);
        if (!luma.ok) return { code: luma.problem.code, description: null, lumas, states: [] };
        lumas.push(luma.value.luma.reduce((text, value) => text + String.fromCharCode(value), ''));
      }
      await opened.value.close();
      const states = decoders.map((decoder) => decoder.state);
      return { code: null, description: opened.value.description, lumas, states };
    }, readFileSync(file).toString('base64'));
    await page.close();
    expect(there.code).toBeNull();
    // It was let go once the film was closed.
    expect(there.states).toEqual(['closed']);

    const original = await openOriginal(file);
    if (!original.ok) throw new Error(original.problem.code);
    const { description } = original.value;
    expect(there.description).toMatchObject({
      widthPx: description.widthPx,
      heightPx: description.heightPx,
      frameCount: description.frameCount,
      timing: 'film',
    });
    there.description?.frameTimesMs?.forEach((time, n) =>
      expect(time).toBeCloseTo(description.frameTimesMs?.[n] ?? Number.NaN, 1),
    );
    let [sum, count] = [0, 0];
    for (const [n, text] of there.lumas.entries()) {
      const picture = await original.value.picture(n);
      if (!picture.ok) throw new Error(picture.problem.code);
      const wanted = lumaFromRgb(picture.value.pixels);
      expect(text.length).toBe(wanted.length);
      for (let at = 0; at < wanted.length; at += 1) sum += Math.abs(text.charCodeAt(at) - (wanted[at] ?? 0));
      count += wanted.length;
    }
    await original.value.close();
    // The luma of the film itself here, made from its colours there: they differ by rounding and where colour is clipped.
    expect(sum / count).toBeLessThan(1);
  });
});
