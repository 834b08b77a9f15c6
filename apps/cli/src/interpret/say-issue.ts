import type { z } from 'zod';

type Issue = z.core.$ZodIssue;

/** What stands at a path of a parsed file; undefined where nothing does. */
function at(json: unknown, path: readonly PropertyKey[]): unknown {
  let value = json;
  for (const key of path) {
    if (typeof value !== 'object' || value === null) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

/** A value as the sentence shows it, cut where it is long. */
export function shown(value: unknown): string {
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'an object';
  const text = typeof value === 'string' ? `"${value}"` : String(value);
  return text.length > 40 ? `${text.slice(0, 37)}…` : text;
}

const KINDS: Readonly<Record<string, string>> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text',
  boolean: 'true or false',
  array: 'a list',
  object: 'an object',
};

function wanted(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KINDS[issue.expected] ?? issue.expected;
    case 'invalid_value': {
      const named = issue.values.slice(0, 12).map(String).join(', ');
      return issue.values.length > 12
        ? `one of ${issue.values.length} known values (${named}, …)`
        : issue.values.length === 1
          ? named
          : `one of ${named}`;
    }
    case 'too_small':
      return `at least ${issue.minimum}`;
    case 'too_big':
      return issue.origin === 'string' ? `at most ${issue.maximum} characters` : `at most ${issue.maximum}`;
    default:
      return 'another value';
  }
}

/** Where a value stands, as a person would look for it: 'measurements.2.value', or 'the file'. */
export const placeOf = (path: readonly PropertyKey[]): string =>
  path.length === 0 ? 'the file' : path.map(String).join('.');

/** One sentence for one refused value: its field, what is wanted, what the file says. */
export function sayIssue(issue: Issue, json: unknown): string {
  const value = at(json, issue.path);
  const place = placeOf(issue.path);
  return value === undefined
    ? `${place} is missing; wanted is ${wanted(issue)}.`
    : `${place} wants ${wanted(issue)}; the file says ${shown(value)}.`;
}
