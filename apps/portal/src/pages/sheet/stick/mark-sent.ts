import { useEffect, useState } from 'react';
import { call } from '../../../host/api';
import { hashFile } from '../../../host/uploads/hash-file';
import { type KnownFile, sayWhereSent } from '../../../host/uploads/sent-before';
import type { FileGroup } from './group-files';

/** What was sent before of the files of a group. */
export interface SentBefore {
  readonly known: readonly KnownFile[];
  readonly of: number;
}

/** A sentence on what was sent before, and whether it was sent for another patient; null where nothing was. */
export function saySentBefore(
  { known, of }: SentBefore,
  name: string,
): { readonly text: string; readonly other: boolean } | null {
  if (known.length === 0) return null;
  const places = new Set(known.map(sayWhereSent));
  const many =
    of === 1
      ? 'The file was'
      : known.length === of
        ? `All ${of} files were`
        : `${known.length} of ${of} files ${known.length === 1 ? 'was' : 'were'}`;
  const where = [...places].filter(Boolean).join(', ');
  return {
    text: `${many} sent before${where ? `: ${where}` : ''}. ${known.length === 1 ? 'It is' : 'They are'} not sent again.`,
    other: known.some((k) => k.patientName !== null && k.patientName !== name),
  };
}

const MOST_ASKED = 500;

async function knownOf(practiceId: string, sha256s: readonly string[]): Promise<KnownFile[]> {
  const known: KnownFile[] = [];
  for (let at = 0; at < sha256s.length; at += MOST_ASKED) {
    const body = { sha256s: sha256s.slice(at, at + MOST_ASKED) };
    known.push(...(await call('knownOriginals', { params: { practiceId }, body })));
  }
  return known;
}

/**
 * Marks files that this practice has sent before, by their content: looked for aside while the list is read, group by group,
 * and left open where nobody can tell now. The server compares again on arrival.
 */
export function useSentBefore(
  practiceId: string,
  groups: readonly FileGroup[],
): ReadonlyMap<string, SentBefore> {
  const [found, setFound] = useState<ReadonlyMap<string, SentBefore>>(new Map());
  useEffect(() => {
    let stopped = false;
    const look = async () => {
      for (const group of groups) {
        const sha256s: string[] = [];
        for (const { file } of group.files) {
          if (stopped) return;
          const sha256 = await hashFile(file);
          if (sha256 !== null) sha256s.push(sha256);
        }
        const known = await knownOf(practiceId, sha256s);
        if (!stopped && known.length > 0)
          setFound((now) => new Map(now).set(group.key, { known, of: group.files.length }));
      }
    };
    look().catch(() => {
      // Without a line nobody can tell; what is known stands.
    });
    return () => {
      stopped = true;
    };
  }, [practiceId, groups]);
  return found;
}
