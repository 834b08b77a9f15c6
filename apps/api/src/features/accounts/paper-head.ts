import type { PaperHead } from '@chordae/contract';

/**
 * What an organisation's own paper begins and ends with; its telephone once, also where no line names it. Anything stored
 * that is not of this shape is passed over, never printed as it is.
 */
export function paperHeadOf(stored: unknown, telephone: string): PaperHead {
  const head = (typeof stored === 'object' && stored !== null ? stored : {}) as Record<string, unknown>;
  const given = Array.isArray(head['lines']) ? head['lines'] : [];
  const lines = given.filter((l): l is string => typeof l === 'string' && l.trim() !== '').slice(0, 8);
  const phone = telephone.trim();
  const named = phone === '' || lines.some((l) => l.includes(phone));
  return {
    lines: named ? lines : [...lines, phone],
    footer: typeof head['footer'] === 'string' ? head['footer'] : '',
  };
}
