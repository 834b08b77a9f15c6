import { readFile } from 'node:fs/promises';
import { interpretationInput } from '@chordae/contract';
import { interpret } from '@chordae/interpretation';
import { sayFlag } from '@chordae/words';

/** `chordae interpret FILE [--json]`: bad input is named field by field, and nothing is computed on it. */
export async function interpretFile(args: string[]): Promise<number> {
  const file = args.find((a) => !a.startsWith('--'));
  if (!file) {
    process.stderr.write('chordae interpret: name a JSON file.\n');
    return 2;
  }
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch {
    process.stderr.write(`chordae interpret: ${file} cannot be read.\n`);
    return 1;
  }
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    process.stderr.write(`chordae interpret: ${file} is not JSON.\n`);
    return 1;
  }
  const parsed = interpretationInput.safeParse(json);
  if (!parsed.success) {
    for (const issue of parsed.error.issues.slice(0, 20))
      process.stderr.write(`${issue.path.join('.') || 'the file'}: ${issue.message}\n`);
    return 1;
  }
  const result = interpret(parsed.data);
  if (args.includes('--json')) process.stdout.write(`${JSON.stringify(result, null, 2)}\n`);
  else {
    for (const flag of result.flags)
      process.stdout.write(`${flag.level.padEnd(8)} ${sayFlag(flag, { phone: null }).sentence}\n`);
    for (const index of result.indices) process.stdout.write(`index    ${index.arithmetic}\n`);
    process.stdout.write(`checks   ${result.checks.ran} of ${result.checks.of} could run\n`);
  }
  return 0;
}
