import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

/** The house's rules as a text scan of imports; the compiler does not stop these. */
const root = path.resolve(import.meta.dirname, '../..');

function sourcesIn(folder: string): string[] {
  const found: string[] = [];
  for (const name of readdirSync(path.join(root, folder))) {
    if (name === 'node_modules' || name === 'dist') continue;
    const at = `${folder}/${name}`;
    if (statSync(path.join(root, at)).isDirectory()) found.push(...sourcesIn(at));
    else if (/\.(ts|tsx)$/.test(name) && !name.endsWith('.d.ts')) found.push(at);
  }
  return found;
}
const isTest = (file: string) => /\.test\.tsx?$/.test(file);
const text = (file: string) => readFileSync(path.join(root, file), 'utf8');
const withoutComments = (source: string) =>
  source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:])\/\/.*$/gm, '$1');
const importsOf = (file: string) =>
  [...withoutComments(text(file)).matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)].map((m) => m[1] ?? '');

const packages = readdirSync(path.join(root, 'packages'));
/** Workspaces that each package may import; `contract` everywhere for its types. */
const mayImport: Record<string, readonly string[]> = {
  units: [],
  contract: ['units'],
  words: ['contract'],
  figure: ['contract'],
  dicom: ['units', 'contract'],
  codecs: ['dicom', 'contract'],
  imaging: ['units', 'contract'],
  measurement: ['units', 'contract'],
  interpretation: ['units', 'contract'],
  report: ['units', 'contract'],
  phantom: ['units', 'contract', 'dicom'],
};
const pure = [
  'units',
  'contract',
  'words',
  'figure',
  'dicom',
  'imaging',
  'measurement',
  'interpretation',
  'report',
  'phantom',
];

describe('who may import what', () => {
  it('names every package that there is', () => {
    expect(Object.keys(mayImport).sort()).toEqual([...packages].sort());
  });

  it('keeps packages from importing apps and one another beyond the list', () => {
    const wrong: string[] = [];
    for (const name of packages) {
      for (const file of sourcesIn(`packages/${name}/src`).filter((f) => !isTest(f))) {
        for (const target of importsOf(file)) {
          const other = /^@chordae\/([a-z]+)/.exec(target)?.[1];
          if (other && !mayImport[name]?.includes(other)) wrong.push(`${file} imports ${target}`);
          if (/apps\//.test(target)) wrong.push(`${file} imports ${target}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it('keeps chance, clocks, consoles, the platform and dynamic imports out of pure packages', () => {
    const banned = [
      /\bMath\.random\b/,
      /\bDate\.now\b/,
      /\bnew Date\(/,
      /\bconsole\./,
      /\bimport\(/,
      /'node:/,
      /\bprocess\./,
      /\bglobalThis\b/,
    ];
    const wrong: string[] = [];
    for (const name of pure) {
      for (const file of sourcesIn(`packages/${name}/src`).filter((f) => !isTest(f))) {
        const source = withoutComments(text(file));
        for (const rule of banned) if (rule.test(source)) wrong.push(`${file}: ${rule.source}`);
      }
    }
    expect(wrong).toEqual([]);
  });

  it('keeps the engine to arithmetic that is equal in every browser', () => {
    const wrong: string[] = [];
    for (const name of ['interpretation', 'units', 'measurement']) {
      for (const file of sourcesIn(`packages/${name}/src`).filter((f) => !isTest(f))) {
        const used = [...withoutComments(text(file)).matchAll(/\bMath\.(\w+)/g)].map((m) => m[1] ?? '');
        for (const f of used)
          if (
            ![
              'abs',
              'min',
              'max',
              'floor',
              'round',
              'sqrt',
              'fround',
              'imul',
              'sign',
              'trunc',
              'ceil',
              'PI',
              // Constants are the same double everywhere.
              'LN2',
              'SQRT2',
            ].includes(f)
          )
            wrong.push(`${file}: Math.${f}`);
        // Whole BigInt powers, in making hash constants, are exact.
        if (/\*\*/.test(withoutComments(text(file))) && !file.endsWith('/sha256.ts'))
          wrong.push(`${file}: **`);
      }
    }
    expect(wrong).toEqual([]);
  });

  it('lets a feature reach another only by its index, and only an earlier one', () => {
    // Data flow down this list. events and accounts serve all; messages and second reads stand beside the queue, which shows them; what comes
    // after an answer, the group's own pages, demo and case-view read everything.
    const order = [
      'accounts',
      'events',
      'cases',
      'arrivals',
      'first-frames',
      'rounds',
      'left-work',
      'machine-access',
      'clips',
      'assessments',
      'measurements',
      'interpretations',
      'messages',
      'second-reads',
      'queue',
      'opinions',
      'signatures',
      'scan-reports',
      'deliveries',
      'after-answer',
      'group-work',
      'patient-work',
      'month-account',
      'practice-page',
      'learning',
      'teaching',
      'case-view',
    ];
    const wrong: string[] = [];
    const features = readdirSync(path.join(root, 'apps/api/src/features'));
    expect([...features].sort()).toEqual([...order].sort());
    for (const name of features) {
      for (const file of sourcesIn(`apps/api/src/features/${name}`).filter((f) => !isTest(f))) {
        for (const target of importsOf(file)) {
          const other = /^\.\.\/([a-z-]+)(\/.+)?$/.exec(target);
          if (!other) continue;
          if (other[2]) wrong.push(`${file} reaches inside ${target}`);
          if (order.indexOf(other[1] ?? '') > order.indexOf(name))
            wrong.push(`${file} reaches the later ${target}`);
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it('keeps the platform from knowing features, and environment variables to few places', () => {
    const wrong: string[] = [];
    for (const file of sourcesIn('apps/api/src/platform').filter((f) => !isTest(f))) {
      for (const target of importsOf(file))
        if (/features/.test(target)) wrong.push(`${file} imports ${target}`);
    }
    const allowed = [
      'apps/portal/vite.config.ts',
      'apps/api/src/platform/config/config.ts',
      'apps/api/src/commands.ts',
      'apps/cli/src/until-stopped.ts',
      'apps/cli/src/send/terminal.ts',
    ];
    for (const file of [...sourcesIn('apps'), ...sourcesIn('packages')].filter(
      (f) => !isTest(f) && !allowed.includes(f),
    )) {
      // The decoder process hands its child an emptied environment, for which it must read its own.
      if (/process\.env/.test(withoutComments(text(file))) && !file.startsWith('packages/codecs/src/node/'))
        wrong.push(`${file} reads process.env`);
    }
    expect(wrong).toEqual([]);
  });

  it('keeps files short and names telling', () => {
    const wrong: string[] = [];
    for (const file of [...sourcesIn('apps'), ...sourcesIn('packages')].filter((f) => !isTest(f))) {
      const lines = text(file).split('\n');
      if (lines.length > 401 && !/reason|because|generated/i.test(lines[0] ?? ''))
        wrong.push(`${file}: ${lines.length} lines`);
      if (/\/(utils|helpers|common|misc|manager|data)(\.[a-z]+)*\.tsx?$/.test(file))
        wrong.push(`${file}: name`);
    }
    expect(wrong).toEqual([]);
  });
});
