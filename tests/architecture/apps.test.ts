import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

/** What `imports.test.ts` leaves open: apps among one another, contract for its types only, and what the tree must not hold. */
const root = path.resolve(import.meta.dirname, '../..');
const text = (file: string) => readFileSync(path.join(root, file), 'utf8');

function sourcesIn(folder: string): string[] {
  return readdirSync(path.join(root, folder)).flatMap((name) => {
    const at = `${folder}/${name}`;
    if (name === 'node_modules' || name === 'dist') return [];
    if (statSync(path.join(root, at)).isDirectory()) return sourcesIn(at);
    return /(?<!\.d|\.test)\.tsx?$/.test(name) ? [at] : [];
  });
}

const targetsOf = (file: string) =>
  [...text(file).matchAll(/(?:\bfrom|\bimport)\s*(\()?\s*['"]([^'"]+)['"]/g)].map((m) => ({
    lazily: m[1] === '(',
    target: m[2] ?? '',
  }));

describe('apps', () => {
  it('import packages and never one another, except the CLI the API by its one door, lazily', () => {
    const wrong: string[] = [];
    let lazily = 0;
    for (const app of ['api', 'portal', 'cli'])
      for (const file of sourcesIn(`apps/${app}/src`))
        for (const found of targetsOf(file)) {
          const named = /^@chordae\/(api|portal|cli)\b/.exec(found.target)?.[1];
          const climbed = found.target.startsWith('.')
            ? /^apps\/(api|portal|cli)\//.exec(
                path.posix.normalize(`${path.posix.dirname(file)}/${found.target}`),
              )?.[1]
            : undefined;
          const other = named ?? climbed;
          if (!other || other === app) continue;
          if (app === 'cli' && found.target === '@chordae/api/commands' && found.lazily) lazily += 1;
          else wrong.push(`${file} imports ${found.target}`);
        }
    expect(wrong).toEqual([]);
    expect(lazily).toBe(1);
  });

  it('reach a package only by what it publishes', () => {
    const wrong: string[] = [];
    for (const file of [...sourcesIn('apps'), ...sourcesIn('packages')])
      for (const { target } of targetsOf(file)) {
        const inner = /^@chordae\/([a-z]+)\/(.+)$/.exec(target);
        if (inner) {
          const folder = inner[1] === 'api' ? 'apps/api' : `packages/${inner[1]}`;
          const { exports = {} } = JSON.parse(text(`${folder}/package.json`)) as {
            exports?: Record<string, unknown>;
          };
          if (!(`./${inner[2]}` in exports)) wrong.push(`${file} reaches inside: ${target}`);
        }
        if (/\/packages\//.test(target)) wrong.push(`${file} climbs into ${target}`);
      }
    expect(wrong).toEqual([]);
  });

  it('write to the console in the CLI only', () => {
    const wrong = [...sourcesIn('apps/api/src'), ...sourcesIn('apps/portal/src')].filter((file) =>
      /^\s*console\./m.test(text(file)),
    );
    expect(wrong).toEqual([]);
  });
});

describe('the tree', () => {
  const listed = spawnSync('git', ['ls-files', '-z'], { cwd: root, encoding: 'utf8' });
  const files =
    listed.status === 0
      ? listed.stdout.split('\0').filter((f) => f !== '')
      : ['packages', 'apps', 'tests', 'infra', 'shared'].flatMap(sourcesIn);

  it('holds no path of a machine and no host of a package registry', () => {
    expect(files.length).toBeGreaterThan(300);
    // Spelt with a class of one letter, so that this file passes its own rule.
    const rules = [
      /(^|['"`\s(=])\/[w]ork\//m,
      /\/[r]oot\//,
      /\/[h]ome\/[a-z]/,
      /[r]egistry\.npmjs/,
      /[p]ythonhosted|[p]ypi\.org/,
    ];
    const wrong: string[] = [];
    for (const file of files) {
      if (
        !/\.(ts|tsx|mjs|js|json|md|sql|css|html|yml|yaml|sh|txt)$|(^|\/)(Dockerfile|run|\.env\.example)$/.test(
          file,
        )
      )
        continue;
      let source: string;
      try {
        source = text(file);
      } catch {
        // Deleted in the working tree, not yet committed.
        continue;
      }
      for (const rule of rules) if (rule.test(source)) wrong.push(`${file}: ${rule.source}`);
    }
    expect(wrong).toEqual([]);
  });

  it('holds no file of forbidden name, in tests and infra either', () => {
    const wrong = files.filter((f) =>
      /(^|\/)(utils|helpers|common|misc|manager|data)(\.[a-z]+)*\.(tsx?|mjs)$/.test(f),
    );
    expect(wrong).toEqual([]);
  });

  it('keeps every test asserting: each file of tests expects something', () => {
    const tests = files.filter((f) => /\.test\.tsx?$/.test(f));
    expect(tests.length).toBeGreaterThan(40);
    expect(tests.filter((f) => !/\bexpect\(/.test(text(f)))).toEqual([]);
    expect(tests.filter((f) => /\b(it|describe|test)\.only\(/.test(text(f)))).toEqual([]);
  });
});
