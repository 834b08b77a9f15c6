import path from 'node:path';
import type { Interpretation, InterpretationInput } from '@chordae/contract';
import { EMPTY_STATE_AT_SCAN, measurementCodes } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchBrowser } from '../support/browser';

/** The vet's browser and the server must say the same, to the last bit: both run the same package. */
let browser: Browser;
let bundle: string;

beforeAll(async () => {
  const made = await build({
    stdin: {
      contents: "export { interpret } from '@chordae/interpretation'",
      resolveDir: path.resolve(import.meta.dirname, '../../apps/portal'),
    },
    bundle: true,
    format: 'iife',
    globalName: 'engine',
    write: false,
    target: 'es2022',
  });
  bundle = made.outputFiles[0]?.text ?? '';
  browser = await launchBrowser();
});
afterAll(async () => browser?.close());

/** A spread of animals and numbers, from a fixed linear congruential sequence. */
function inputs(count: number): InterpretationInput[] {
  let state = 20_261_125;
  const next = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
  const species = ['dog', 'cat', 'dog', 'horse'] as const;
  const plans = ['small-dog-murmur', 'cat-before-anaesthesia', 'large-dog-muscle', 'horse'] as const;
  return Array.from({ length: count }, (_v, n) => {
    const kind = n % 4;
    const kg = kind === 1 ? 2.5 + 5 * next() : kind === 3 ? 350 + 250 * next() : 1.5 + 60 * next();
    return {
      schema: 1,
      plan: plans[kind] ?? 'collapse',
      urgencyAsked: null,
      state: EMPTY_STATE_AT_SCAN,
      patient: {
        species: species[kind] ?? 'dog',
        breedCode: null,
        breedText: '',
        sex: 'female',
        neutered: true,
        ageMonths: 30 + Math.floor(100 * next()),
        weight: { kg, guessed: false },
      },
      measurements: Object.entries(measurementCodes).flatMap(([code, m], i) =>
        next() < 0.3
          ? []
          : [
              {
                id: `m${i}`,
                code: code as keyof typeof measurementCodes,
                value: (m.unit === 'mm' ? 40 : m.unit === 'm/s' ? 5 : 120) * (0.05 + next()),
                unit: m.unit,
                view: m.views[0] ?? null,
                method: null,
                beat: 1,
                source: 'typed' as const,
              },
            ],
      ),
      observations: [{ id: 'o1', code: 'murmur-grade', value: String(1 + Math.floor(6 * next())) }],
      views: [],
    };
  });
}

describe('the engine in Chromium', () => {
  it('gives the same answer as in Node, bit for bit, for 400 cases', async () => {
    const cases = inputs(400);
    const page = await browser.newPage();
    await page.addScriptTag({ content: bundle });
    const there = await page.evaluate((given) => {
      const { engine } = globalThis as unknown as { engine: { interpret(input: unknown): unknown } };
      return given.map((input) => JSON.stringify(engine.interpret(input)));
    }, cases);
    const indices = cases
      .map((c) => (interpret(c) as Interpretation).indices.length)
      .reduce((a, b) => a + b, 0);
    expect(indices).toBeGreaterThan(1000);
    for (const [n, input] of cases.entries()) expect(there[n]).toBe(JSON.stringify(interpret(input)));
  });
});
