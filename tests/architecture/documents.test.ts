import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import {
  errorStatus,
  foldMoves,
  nextState,
  referralMove,
  referralState,
  routes,
  transitions,
} from '@chordae/contract';
import { errorCodesInWords, sayError } from '@chordae/words';
import { describe, expect, it } from 'vitest';
import { settings } from '../../apps/api/src/platform/config/config';
import { VERSION } from '../../apps/api/src/platform/version';

const root = path.resolve(import.meta.dirname, '../..');
const read = (file: string) => readFileSync(path.join(root, file), 'utf8');
const json = (file: string) => JSON.parse(read(file)) as Record<string, never>;

describe('documents and code', () => {
  it('tie the error list, its words and the table of DEVELOPERS.md together, both ways', () => {
    const table = new Map(
      [...read('DEVELOPERS.md').matchAll(/\| ([A-Z_]+) \| (\d{3}) /g)].map((m) => [m[1] ?? '', Number(m[2])]),
    );
    const second = new Map(
      [...read('DEVELOPERS.md').matchAll(/ ([A-Z_]+) \| (\d{3}) \|$/gm)].map((m) => [
        m[1] ?? '',
        Number(m[2]),
      ]),
    );
    expect(Object.fromEntries([...table, ...second])).toEqual(errorStatus);
    for (const code of Object.keys(errorStatus)) {
      expect(errorCodesInWords).toContain(code);
      expect(sayError(code, {}).length).toBeGreaterThan(20);
    }
  });

  it('name every setting in .env.example and in the table of DEVELOPERS.md', () => {
    const example = [...read('.env.example').matchAll(/^#?([A-Z_]+)=/gm)].map((m) => m[1] ?? '');
    expect([...example].sort()).toEqual(Object.keys(settings).sort());
    for (const name of Object.keys(settings)) expect(read('DEVELOPERS.md')).toContain(`\`${name}\``);
  });

  it('agree on version and licence everywhere', () => {
    expect(json('package.json')['version']).toBe(VERSION);
    for (const place of [
      '.',
      'apps/api',
      'apps/cli',
      'apps/portal',
      'packages/interpretation',
      'packages/contract',
    ])
      expect(json(`${place}/package.json`)['license']).toBe('Apache-2.0');
    expect(read('LICENSE')).toContain('Apache License');
  });

  it('hold no path of a machine and no address of a package registry', () => {
    expect(read('package-lock.json')).not.toMatch(/"resolved": "http/);
  });

  it('allow only free licences among what is installed for running', () => {
    const free =
      /^\(?(MIT|MIT-0|ISC|BSD|BSD-[23]-Clause|Apache-2\.0|0BSD|CC0-1\.0|Unlicense|BlueOak-1\.0\.0|Python-2\.0|LGPL-3\.0-or-later|PostgreSQL|Zlib|WTFPL|MPL-2\.0|X11)\b/i;
    const lock = JSON.parse(read('package-lock.json')) as {
      packages: Record<string, { dev?: boolean; link?: boolean; optional?: boolean; license?: string }>;
    };
    const wrong: string[] = [];
    let checked = 0;
    for (const [place, entry] of Object.entries(lock.packages)) {
      if (
        !place.includes('node_modules/') ||
        entry.dev ||
        entry.link ||
        !existsSync(path.join(root, place, 'package.json'))
      )
        continue;
      checked += 1;
      const own = JSON.parse(read(`${place}/package.json`)) as {
        license?: string | { type: string };
        licenses?: { type: string }[];
      };
      const licence =
        typeof own.license === 'string'
          ? own.license
          : (own.license?.type ?? own.licenses?.[0]?.type ?? entry.license ?? 'none stated');
      if (!free.test(licence)) wrong.push(`${place}: ${licence}`);
    }
    expect(checked).toBeGreaterThan(100);
    // Under the GPL (films) and LGPL (HEIC): optional, unchanged, run in a separate process, shipped with nothing.
    const separate = ['node_modules/@ffmpeg/core', 'node_modules/libheif-js'];
    for (const place of separate) expect(lock.packages[place]?.optional ?? true).toBe(true);
    // Three state theirs only in a text beside the code: the fonts (Bitstream Vera, changes in the public domain), and two
    // small packages under the MIT licence (combine-errors: from memory, its package carries no text).
    const inText = [
      ...separate,
      'node_modules/dejavu-fonts-ttf',
      'node_modules/combine-errors',
      'node_modules/png-js',
    ];
    expect(wrong.filter((w) => !inText.some((place) => w.startsWith(`${place}:`)))).toEqual([]);
  });
});

describe('the transition table', () => {
  it('moves only as published, and folds', () => {
    for (const from of referralState.options)
      for (const move of referralMove.options)
        expect(nextState(from, move)).toBe(transitions[from][move] ?? null);
    expect(
      foldMoves([
        'referral.sent',
        'referral.taken',
        'referral.images-wanted',
        'referral.images-sent',
        'referral.answered',
        'referral.closed',
      ]),
    ).toBe('closed');
    expect(foldMoves(['referral.sent', 'referral.closed'])).toBeNull();
    expect(Object.keys(transitions.closed)).toEqual([]);
  });

  it('gives every route its access', () => {
    for (const [name, r] of Object.entries(routes)) {
      expect(r.path.startsWith('/api/'), name).toBe(true);
      if (typeof r.access === 'object') expect(Object.keys(r.access).length, name).toBeGreaterThan(0);
    }
  });
});
