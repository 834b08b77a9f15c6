import { readFileSync } from 'node:fs';

/** Rows of a file of shared/golden, each with its source. */
export function goldenRows<T>(file: string): T[] {
  const text = readFileSync(new URL(`../../shared/golden/${file}`, import.meta.url), 'utf8');
  return (JSON.parse(text) as { rows: T[] }).rows;
}
