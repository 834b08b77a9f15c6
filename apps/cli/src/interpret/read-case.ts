import { readFile, stat } from 'node:fs/promises';
import type { InterpretationInput } from '@chordae/contract';
import { interpretationInput } from '@chordae/contract';
import { implausible, unread } from './implausible';
import { sayIssue } from './say-issue';

/** Largest file taken: a case of a thousand measurements is a fifth of it. */
const MAX_BYTES = 1024 * 1024;
/** Most sentences said about one file. */
const MOST_SAID = 20;

export type ReadCase = { input: InterpretationInput } | { complaints: string[] };

async function textOf(file: string): Promise<{ text: string } | { complaints: string[] }> {
  try {
    const { size } = await stat(file);
    if (size > MAX_BYTES)
      return { complaints: [`${file} is larger than a case can be (${size} bytes; at most ${MAX_BYTES}).`] };
    const text = await readFile(file, 'utf8');
    return text.trim() === '' ? { complaints: [`${file} is empty.`] } : { text };
  } catch {
    return { complaints: [`${file} cannot be read.`] };
  }
}

/** A case from a JSON file, or one sentence for each thing that is wrong with it: then nothing may be computed. */
export async function readCase(file: string): Promise<ReadCase> {
  const found = await textOf(file);
  if ('complaints' in found) return found;
  let json: unknown;
  try {
    json = JSON.parse(found.text);
  } catch {
    return { complaints: [`${file} is not JSON.`] };
  }
  const parsed = interpretationInput.safeParse(json);
  const complaints = parsed.success
    ? [...unread(json, parsed.data), ...implausible(parsed.data)]
    : parsed.error.issues.map((issue) => sayIssue(issue, json));
  if (parsed.success && complaints.length === 0) return { input: parsed.data };
  const more = complaints.length - MOST_SAID;
  return {
    complaints: more > 0 ? [...complaints.slice(0, MOST_SAID), `And ${more} more.`] : complaints,
  };
}
