import { stat } from 'node:fs/promises';
import type { ReadOriginalOutcome, ReadOriginalRequest } from '@chordae/codecs';
import { readOriginalInChild, sha256OfFile } from '@chordae/codecs/node';
import type { Analysis, ClipDescription, Problem } from '@chordae/contract';
import { sayProblem } from '@chordae/words';
import { decoderEntry } from './decoder-entry';
import { analysedMask } from './mask';
import { listMembers } from './members';
import { fanOf, lookAtPictures, type PictureOptions } from './picture';
import { analysedRegions } from './regions';

function run<R extends ReadOriginalRequest>(request: R): Promise<ReadOriginalOutcome<R>> {
  return readOriginalInChild(request, decoderEntry());
}

const said = (problem: Problem) => ({ ...problem, sentence: sayProblem(problem) });

/** Everything that can be said of one file without storing anything; every frame is really decoded, in a bounded process. */
export async function analyseFile(
  path: string,
  name: string,
  picture: PictureOptions | null = null,
): Promise<Analysis> {
  const { size } = await stat(path);
  const empty = {
    schema: 1,
    file: name,
    sizeBytes: size,
    sha256: await sha256OfFile(path),
    outcome: 'read',
    what: 'nothing',
    description: null,
    framesDecoded: 0,
    regions: [],
    machine: null,
    mask: null,
    report: null,
    members: [],
    problems: [],
    refused: null,
  } as const satisfies Analysis;
  const read = await run({ kind: 'inspect', originalPath: path });
  if (!read.ok) return refusedOr(path, empty, read.problem);
  const { description, machine, framesDecoded } = read.value;
  return {
    ...empty,
    what: description.kind,
    description: withoutProblems(description),
    framesDecoded,
    regions: analysedRegions(description),
    machine,
    mask: analysedMask(read.value, read.value.keepBoxes === null ? await fanOf(path) : null),
    problems: description.problems.map(said),
    ...(picture ? { picture: await lookAtPictures(path, picture) } : {}),
  };
}

/** A report or an archive is no picture, and is read as what it is. */
async function refusedOr(path: string, empty: Analysis, problem: Problem): Promise<Analysis> {
  if (problem.code === 'DICOM_REPORT') {
    const read = await run({ kind: 'read-report', originalPath: path });
    if (!read.ok) return { ...empty, outcome: 'refused', refused: said(read.problem) };
    return { ...empty, what: 'report', report: read.value.report, machine: read.value.machine };
  }
  if (problem.code === 'ARCHIVE_TO_UNPACK') {
    const { members, problem: about } = await listMembers(path, run);
    if (members === null) return { ...empty, outcome: 'refused', refused: said(about) };
    return { ...empty, what: 'archive', members, problems: [said(about)] };
  }
  return { ...empty, outcome: 'refused', refused: said(problem) };
}

function withoutProblems({ problems: _said, ...description }: ClipDescription): Analysis['description'] {
  return description;
}
