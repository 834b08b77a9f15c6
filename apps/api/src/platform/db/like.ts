/** A LIKE pattern for texts that hold these words anywhere; what LIKE reads as a wildcard stands for itself. */
export function containing(words: string): string {
  return `%${words.replace(/[\\%_]/g, (c) => `\\${c}`)}%`;
}
