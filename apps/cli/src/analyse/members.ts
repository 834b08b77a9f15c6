import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Unpacked, UnpackRequest } from '@chordae/codecs';
import type { Problem } from '@chordae/contract';

const mostBytes = 4_000_000_000;

type Unpack = (
  request: UnpackRequest,
) => Promise<{ ok: true; value: Unpacked } | { ok: false; problem: Problem }>;

/** Names of what an archive would give; its members are unpacked into a folder of their own and thrown away. */
export async function listMembers(
  file: string,
  run: Unpack,
): Promise<{ members: string[]; problem: Problem } | { members: null; problem: Problem }> {
  const folder = await mkdtemp(path.join(tmpdir(), 'chordae-analyse-'));
  try {
    const read = await run({ kind: 'unpack', originalPath: file, folder, mostBytes });
    if (!read.ok) return { members: null, problem: read.problem };
    const { members, left, files, missing } = read.value;
    return {
      members: members.map((member) => member.name),
      problem: { code: 'ARCHIVE_UNPACKED', data: { files, kept: members.length, ...left, missing } },
    };
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
