import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { problemCodesInWords } from '@chordae/words';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '../..');

function sources(folder: string): string[] {
  return readdirSync(path.join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.includes('.test.'))
    .map((name) => readFileSync(path.join(root, folder, name), 'utf8'));
}

/** Codes as the readers write them: `refuse('X')`, `problem('X')`, `{ code: 'X', …}`, and the reasons of a region. */
const written = /(?:refuse|problem)\(\s*'([A-Z][A-Z0-9_]+)'|code: '([A-Z][A-Z0-9_]+)'|'(REGION_[A-Z_]+)'/g;

describe('what a reader of files refuses or notes', () => {
  it('has its own sentence, every code of it', () => {
    const codes = new Set<string>();
    for (const folder of ['packages/dicom/src', 'packages/codecs/src/node', 'apps/api/src/features/clips'])
      for (const source of sources(folder))
        for (const found of source.matchAll(written)) codes.add(found[1] ?? found[2] ?? found[3] ?? '');
    expect(codes.size).toBeGreaterThan(30);
    expect([...codes].filter((code) => !problemCodesInWords.includes(code))).toEqual([]);
  });
});
