import type { InterpretationInput } from '@chordae/contract';
import { interpret, traceOf, whatWouldChange } from '@chordae/interpretation';
import { sayChecks, sayFlag, saySource, sayStage, sayTurn } from '@chordae/words';
import { readCase } from './read-case';

type Say = (line: string) => void;

const toStdout: Say = (line) => {
  process.stdout.write(`${line}\n`);
};
const toStderr: Say = (line) => {
  process.stderr.write(`${line}\n`);
};

function print(input: InterpretationInput, out: Say): void {
  const result = interpret(input);
  for (const flag of result.flags) out(`${flag.level.padEnd(8)} ${sayFlag(flag, { phone: null }).sentence}`);
  for (const index of result.indices) out(`index    ${index.arithmetic}`);
  for (const stage of result.stages) out(`stage    ${sayStage(stage).sentence}`);
  out(`checks   ${sayChecks(result.flags.length, result.checks)}`);
}

/** The way back from one flag, as a vet would redo it. */
function printTrace(input: InterpretationInput, key: string, json: boolean, out: Say, complain: Say): number {
  const trace = traceOf(input, key);
  if (!trace) {
    const keys = interpret(input).flags.map((f) => f.key);
    complain(
      `chordae interpret: this case has no flag "${key}"; it has ${keys.length > 0 ? keys.join(', ') : 'none'}.`,
    );
    return 1;
  }
  if (json) {
    out(JSON.stringify(trace, null, 2));
    return 0;
  }
  const { flag } = trace;
  out(sayFlag(flag, { phone: null }).sentence);
  out(`rule     ${flag.rule.id}, version ${flag.rule.version}; engine ${trace.engine.version}`);
  for (const m of trace.measurements)
    out(`measured ${m.code} ${m.value} ${m.unit}${m.view ? `, ${m.view}` : ''}, ${m.source}, id ${m.id}`);
  for (const o of trace.observations) out(`answered ${o.code} = ${o.value}, id ${o.id}`);
  for (const line of trace.lines) out(`line     ${line}`);
  for (const { limits } of trace.indices)
    for (const l of limits) out(`limit    ${l.lower ?? '…'} to ${l.upper ?? '…'}: ${l.population}`);
  for (const source of flag.sources) out(`source   ${saySource(source)}`);
  return 0;
}

function printTurns(input: InterpretationInput, json: boolean, out: Say): number {
  const turns = whatWouldChange(input);
  if (json) out(JSON.stringify(turns, null, 2));
  else for (const turn of turns) out(sayTurn(turn));
  return 0;
}

/** `chordae interpret FILE [--json] [--trace KEY] [--turns]`: bad input is named field by field, and nothing is computed on it. */
export async function interpretFile(
  args: string[],
  out: Say = toStdout,
  complain: Say = toStderr,
): Promise<number> {
  const json = args.includes('--json');
  const at = args.indexOf('--trace');
  const key = at < 0 ? null : args[at + 1];
  if (at >= 0 && (key === undefined || key === null || key.startsWith('--'))) {
    complain('chordae interpret: --trace wants the key of a flag.');
    return 2;
  }
  const file = args.find((a, i) => !a.startsWith('--') && (at < 0 || i !== at + 1));
  if (!file) {
    complain('chordae interpret: name a JSON file.');
    return 2;
  }
  const read = await readCase(file);
  if ('complaints' in read) {
    for (const line of read.complaints) complain(`chordae interpret: ${line}`);
    return 1;
  }
  const { input } = read;
  if (key) return printTrace(input, key, json, out, complain);
  if (args.includes('--turns')) return printTurns(input, json, out);
  if (json) out(JSON.stringify(interpret(input), null, 2));
  else print(input, out);
  return 0;
}
