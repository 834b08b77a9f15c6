import { stat } from 'node:fs/promises';
import path from 'node:path';
import { filesBelow } from '../files-below';
import { analyseFile } from './analyse-file';
import { readArguments } from './arguments';
import { analysisLine, analysisText } from './say-analysis';

type Print = (line: string) => void;

/**
 * `chordae analyse FILE|FOLDER [--json] [--picture [--view V] [--species S] [--weight KG]]`: says what each file is and what
 * would be shown, measured and masked of it; with --picture also what the pictures themselves say.
 * A folder, with all below it, gives one line a file. Exit code 0: everything was read; 1: something was refused or is
 * not there; 2: asked wrongly.
 */
export async function analyse(args: string[], print: Print, complain: Print): Promise<number> {
  const asked = readArguments(args);
  if (typeof asked === 'string') {
    complain(`chordae analyse: ${asked}`);
    return 2;
  }
  const { place, json, picture } = asked;
  const found = await stat(place).catch(() => null);
  if (found === null) {
    complain(`chordae analyse: ${place} is not there or cannot be read.`);
    return 1;
  }
  if (!found.isDirectory()) {
    const answer = await analyseFile(place, path.basename(place), picture).catch(() => null);
    if (answer === null) {
      complain(`chordae analyse: ${place} cannot be read.`);
      return 1;
    }
    print(json ? JSON.stringify(answer, null, 2) : analysisText(answer));
    return answer.outcome === 'read' ? 0 : 1;
  }
  let refused = 0;
  for await (const file of filesBelow(place, { hidden: true })) {
    const answer = await analyseFile(path.join(place, file), file, picture).catch(() => null);
    if (answer?.outcome !== 'read') refused += 1;
    if (answer === null) complain(`chordae analyse: ${file} cannot be read.`);
    else print(json ? JSON.stringify(answer) : analysisLine(answer));
  }
  return refused === 0 ? 0 : 1;
}
