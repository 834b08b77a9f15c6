import { species as speciesSchema } from '@chordae/contract';
import type { LimitEntry } from '@chordae/interpretation';
import { ENGINE_VERSION, limitEntries, limitsHash } from '@chordae/interpretation';
import { nameOf } from '@chordae/words';

function option(args: string[], name: string): string | null | undefined {
  const at = args.indexOf(`--${name}`);
  return at < 0 ? undefined : (args[at + 1] ?? null);
}

function line(limit: LimitEntry): string {
  const bounds =
    limit.form.kind === 'fixed'
      ? `${limit.form.lower ?? '…'} to ${limit.form.upper ?? '…'}`
      : limit.form.kind === 'power'
        ? `${limit.form.lowerA} to ${limit.form.upperA} · kg^${limit.form.exponent} cm`
        : `${limit.form.slope} · kg + ${limit.form.intercept} mm`;
  return `${limit.species.padEnd(7)} ${nameOf(limit.index).padEnd(22)} ${limit.role.padEnd(13)} ${bounds.padEnd(30)} ${limit.status.padEnd(15)} ${limit.citation.slice(0, 70)}`;
}

/** `chordae limits --species cat --json`: what the engine grades by, so that others can check it without a server. */
export function printLimits(args: string[]): number {
  const species = option(args, 'species');
  const index = option(args, 'index');
  if (species !== undefined && !speciesSchema.safeParse(species).success) {
    process.stderr.write(
      `chordae limits: --species takes one of ${speciesSchema.options.join(', ')}${species === null ? '' : `; there is no "${species}"`}.\n`,
    );
    return 2;
  }
  const known = new Set(limitEntries.map((l) => l.index));
  if (index !== undefined && (index === null || !known.has(index))) {
    process.stderr.write(`chordae limits: --index takes one of ${[...known].sort().join(', ')}.\n`);
    return 2;
  }
  const found = limitEntries.filter(
    (l) => (species === undefined || l.species === species) && (index === undefined || l.index === index),
  );
  if (args.includes('--json')) {
    process.stdout.write(
      `${JSON.stringify({ engine: { version: ENGINE_VERSION, limitsHash }, limits: found }, null, 2)}\n`,
    );
  } else for (const limit of found) process.stdout.write(`${line(limit)}\n`);
  return 0;
}
