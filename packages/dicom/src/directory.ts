import { code, items, rawBytes } from './attributes';
import type { DataSet } from './data-set';

/** One record of a DICOMDIR that names a file. */
export interface DirectoryRecord {
  /** IMAGE, SR DOCUMENT and so on (PS3.3 F.3.2.2). */
  readonly kind: string;
  /** Components of the Referenced File ID, as written. */
  readonly path: readonly string[];
}

const mostRecords = 100_000;

/**
 * The files that a DICOMDIR names (PS3.3 F.3.2.2), in the order of its records. The records' offsets, which chain them
 * into a tree, are not used: on sticks they are often missing or dead. A directory is a hint, never the truth.
 */
export function readDirectory(dataSet: DataSet): DirectoryRecord[] {
  return items(dataSet, 'x00041220')
    .slice(0, mostRecords)
    .flatMap((record) => {
      const bytes = rawBytes(record, 'x00041500');
      if (bytes === null) return [];
      // Components are separated by backslashes; some writers use slashes.
      const path = (code(record, 'x00041500') ?? '')
        .split(/[\\/]/)
        .map((part) => part.trim())
        .filter((part) => part !== '' && part !== '.' && part !== '..');
      return path.length === 0 ? [] : [{ kind: code(record, 'x00041430') ?? '', path }];
    });
}
